// Prints worksheet.html from Chromium on A4 and Letter, with and without the browser's own header and footer, and
// says how large it is and how soon it stands.
//
//   node print_check.mjs MODULES PLANFOLDER OUTFOLDER [MOST_MB]
//
// The PDFs are left in OUTFOLDER for print_check.py.
import fs from 'node:fs';
import path from 'node:path';

import { Browser, Checks } from './browser.mjs';

const [modules, folder, out, mostMb = '6'] = process.argv.slice(2);
const sheet = path.join(folder, 'worksheet.html');
const checks = new Checks();
fs.rmSync(out, { recursive: true, force: true });
fs.mkdirSync(out, { recursive: true });

const browser = await Browser.start(modules);
try {
  const bytes = fs.statSync(sheet).size;
  checks.that(bytes < Number(mostMb) * 1e6, `${bytes} bytes are more than ${mostMb} MB`);
  const times = [];
  for (let i = 0; i < 3; ++i) {
    const page = await browser.open(sheet, { width: 390, height: 844 });
    let time;
    do {
      await page.waitForTimeout(50);
      time = await page.evaluate(() => ({
        loaded: Math.round(performance.getEntriesByType('navigation')[0].loadEventEnd),
        painted: Math.round(performance.getEntriesByType('paint')[0]?.startTime ?? 0),
      }));
    } while (!time.loaded || !time.painted);
    times.push(time);
    await page.context().close();
  }
  const middle = (name) => times.map((time) => time[name]).sort((a, b) => a - b)[1];
  const [loaded, painted] = [middle('loaded'), middle('painted')];
  // Said and not held against a limit: on a busy machine it is any number.
  const speed = `painted after ${painted} ms, loaded after ${loaded} ms (middle of 3; the number to reach is 1000 ms)`;
  // Each with each at least once, in pairs.
  for (const [mode, format, marks] of [['turning', 'A4', false], ['turning', 'Letter', true], ['all', 'A4', true],
    ['all', 'Letter', false]]) {
    const page = await browser.open(sheet, { dark: mode === 'turning' });
    if (mode === 'all') await page.click('#whole');
    else await page.evaluate(() => document.getElementById('next').click());
    await page.pdf({
      path: path.join(out, `${mode}-${format}${marks ? '-marked' : ''}.pdf`), format, displayHeaderFooter: marks, printBackground: marks,
    });
    checks.same(page.faults, [], `printing on ${format}`);
    await page.context().close();
  }
  console.log(`${(bytes / 1e6).toFixed(2)} MB, ${speed}`);
} finally {
  await browser.stop();
}
checks.end(`printed into ${out}`);
