// Opens the pages of two studios that differ in nothing but names, one of them hostile, in Chromium: both must have the
// same elements, whatever is shown, and no name may speak up, load anything or run.
//
//   node names_check.mjs MODULES HOSTILEFOLDER HARMLESSFOLDER
import fs from 'node:fs';
import path from 'node:path';

import { Browser, Checks } from './browser.mjs';

const [modules, ...folders] = process.argv.slice(2);
const checks = new Checks();

// Whatever has been written into the storage of this browser under the plan's fingerprint.
const HOSTILE_NOTES = [
  '{"done": {"1": "<img src=x onerror=alert(1)>", "__proto__": {"2": true}}, "grams": {"1": "<script>alert(2)</script>", "2": 1e99},'
    + ' "fired": {"1": "\\"><img src=x onerror=alert(3)>", "length": 9}, "title": "</script><script>alert(4)</script>"}',
  '{"done": [true, true], "grams": "<img src=x onerror=alert(5)>", "fired": null}',
  '</script><script>alert(6)</script>', '[]', 'null', '"\u202e"', '{"grams": {"1": -1}, "__proto__": {"done": {"1": true}}}',
];

const elementsOf = (page) => page.evaluate(() => [...document.querySelectorAll('*')]
  .map((one) => `${one.localName} ${[...one.attributes].map(({ name }) => name).sort().join(' ')}`));

// One that says what must not be said goes into the faults.
async function opened(browser, file) {
  const page = await browser.open(file, { width: 390, height: 844 });
  page.on('dialog', (dialog) => {
    page.faults.push(`speaks up: ${dialog.message()}`);
    dialog.dismiss();
  });
  await page.waitForTimeout(100);
  return page;
}

// Each page of the worksheet with what lies at its middle, one after the other.
async function usedSheet(browser, folder) {
  const page = await opened(browser, path.join(folder, 'plan', 'worksheet.html'));
  const seen = [await elementsOf(page)];
  for (let turn = 0; turn < 40; ++turn) {
    const box = await page.locator('.current .piece[data-points]').boundingBox({ timeout: 200 }).catch(() => null);
    if (box) {
      await page.mouse.click(box.x + box.width / 2, box.y + Math.min(box.height / 2, 300));
      await page.waitForTimeout(60);
    }
    seen.push(await elementsOf(page));
    if (!await page.isEnabled('#next')) break;
    await page.click('#next');
  }
  seen.push(await page.evaluate(() => document.querySelectorAll('.recipe li bdi').length));
  return { page, seen };
}

const browser = await Browser.start(modules);
try {
  const [hostile, harmless] = [await usedSheet(browser, folders[0]), await usedSheet(browser, folders[1])];
  checks.that(hostile.seen.length > 6, `only ${hostile.seen.length} looks at the worksheet`);
  checks.same(hostile.seen, harmless.seen, 'elements of the worksheet in use');
  const { title } = JSON.parse(fs.readFileSync(path.join(folders[0], 'plan', 'plan.json'), 'utf8')).piece;
  const shown = await hostile.page.evaluate(() => document.querySelector('h1 bdi').textContent);
  for (const part of ['</title><script>alert(1)</script>', '"><img src=x onerror=alert(2)>', '{{mustache}}{{{title}}}', '&amp;&lt;&'])
    checks.that(title.includes(part) && shown.includes(part), `the title does not show ${part} as it is`);
  const key = await hostile.page.evaluate(() => `powderplan-bench-${facts.plan_sha256}`);
  const before = await elementsOf(harmless.page);
  for (const notes of HOSTILE_NOTES) {
    await hostile.page.evaluate(([name, text]) => window.localStorage.setItem(name, text), [key, notes]);
    await hostile.page.reload();
    await hostile.page.waitForTimeout(100);
    const { done, grams, fired } = await hostile.page.evaluate(() => notesFile().layers.reduce(
      (all, layer) => ({ ...all, done: all.done + layer.done, grams: all.grams + ('grams' in layer) }),
      { done: 0, grams: 0, fired: firingsDone() }));
    checks.same([done, grams, fired], [0, 0, 0], `notes taken from ${notes}`);
    checks.same((await elementsOf(hostile.page)).length, before.length, `elements after ${notes}`);
  }
  checks.same(hostile.page.faults, [], 'the worksheet with hostile names');
  checks.same(harmless.page.faults, [], 'the worksheet with harmless names');
  for (const file of ['tile/worksheet.html', ...fs.readdirSync(path.join(folders[0], 'plan', 'stencils'))
    .filter((name) => name.endsWith('.svg')).slice(0, 1).map((name) => `plan/stencils/${name}`)]) {
    const [one, other] = [await opened(browser, path.join(folders[0], file)), await opened(browser, path.join(folders[1], file))];
    checks.same(await elementsOf(one), await elementsOf(other), `elements of ${file}`);
    checks.same(one.faults, [], file);
  }
  checks.end('names stay names in the browser');
} finally {
  await browser.stop();
}
