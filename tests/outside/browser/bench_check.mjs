// Uses worksheet.html as somebody at the bench does, in Chromium.
//
//   node bench_check.mjs MODULES PLANFOLDER POWDERPLAN PALETTE OUTFOLDER
//
// What it reads at points is left in OUTFOLDER/readings.json for readings_check.py to compare with the plan.
import { spawnSync } from 'node:child_process';
import { createHash } from 'node:crypto';
import fs from 'node:fs';
import path from 'node:path';

import { Browser, Checks } from './browser.mjs';

const [modules, folder, powderplan, palette, out] = process.argv.slice(2);
const sheet = path.join(folder, 'worksheet.html');
const planText = fs.readFileSync(path.join(folder, 'plan.json'));
const plan = JSON.parse(planText);
const checks = new Checks();
fs.rmSync(out, { recursive: true, force: true });
fs.mkdirSync(out, { recursive: true });

const current = (page) => page.evaluate(() => document.querySelector('.sheet.current').id);
const shown = (page) => page.evaluate(() => {
  const svg = document.querySelector('.current .piece[data-points]');
  return (svg.querySelector('.over') ?? svg.querySelector('image')).getAttribute('href');
});
const goTo = (page, id) => page.evaluate((wanted) => {
  const list = document.getElementById('goto');
  list.value = [...document.querySelectorAll('.sheet')].findIndex((section) => section.id === wanted);
  list.dispatchEvent(new Event('change'));
}, id);

// The driver's own waiting would need a weaker policy of the page.
async function until(page, holds, argument) {
  for (let i = 0; i < 200; ++i) {
    if (await page.evaluate(holds, argument)) return;
    await page.waitForTimeout(50);
  }
  throw new Error(`never came true: ${holds}`);
}

async function swipe(page, fromX, toX) {
  const session = await page.context().newCDPSession(page);
  const y = 420;
  const send = (type, x) => session.send('Input.dispatchTouchEvent', { type, touchPoints: type === 'touchEnd' ? [] : [{ x, y }] });
  await send('touchStart', fromX);
  for (let i = 1; i <= 8; ++i) await send('touchMove', fromX + ((toX - fromX) * i) / 8);
  await send('touchEnd', toX);
  await page.waitForTimeout(100);
}

// Every page comes once, in bench order: by button, back by keys, on again by swipe.
async function turning(browser) {
  const page = await browser.open(sheet, { width: 390, height: 844 });
  const ids = await page.evaluate(() => [...document.querySelectorAll('.sheet')].map((section) => section.id));
  const bench = plan.firings.flatMap((firing) => [...firing.layers.map((i) => `page-step-${i}`), `page-firing-${firing.index}`]);
  checks.same(ids.filter((id) => /step|firing/.test(id)), bench, 'pages in the order of the bench');
  const seen = [await current(page)];
  while (await page.isEnabled('#next')) {
    await page.click('#next');
    seen.push(await current(page));
  }
  checks.same(seen, ids, 'by the button');
  checks.that((await page.textContent('#said')).includes(`Page ${ids.length} of ${ids.length}`), 'the page is not said');
  await page.evaluate(() => document.activeElement.blur());
  for (const wished of ids.slice(0, -1).reverse()) {
    await page.keyboard.press('ArrowLeft');
    checks.same(await current(page), wished, 'by the arrow key');
  }
  await swipe(page, 330, 60);
  checks.same(await current(page), ids[1], 'by a swipe to the left');
  await swipe(page, 60, 330);
  checks.same(await current(page), ids[0], 'by a swipe to the right');
  await swipe(page, 200, 190);
  checks.same(await current(page), ids[0], 'by less than a swipe');
  checks.same(page.faults, [], 'while turning');
  await page.context().close();
}

// The piece grows: the picture of each step and firing, loose and fired, differs from the one before.
async function growing(browser) {
  const page = await browser.open(sheet);
  const pictures = {};
  for (const firing of plan.firings) {
    for (const id of [...firing.layers.map((i) => `page-step-${i}`), `page-firing-${firing.index}`]) {
      await goTo(page, id);
      for (const view of ['place', 'loose', 'wall', 'window']) {
        const button = page.locator(`#views [data-view=${view}]`);
        if (!(await button.isVisible())) continue;
        await button.click();
        checks.same(await button.getAttribute('aria-pressed'), 'true', `${id} ${view}`);
        (pictures[view] ??= []).push([id, await shown(page)]);
      }
    }
  }
  const different = (list) => new Set(list.map(([, href]) => href)).size;
  const steps = (view) => pictures[view].filter(([id]) => id.includes('step'));
  const kilns = (view) => pictures[view].filter(([id]) => id.includes('firing'));
  checks.same(different(steps('place')), plan.layers.length, 'pictures of where powder goes');
  checks.same(different(steps('loose')), plan.layers.length, 'pictures of loose powder');
  checks.same(different(kilns('wall')), plan.firings.length, 'fired pictures on a wall');
  checks.same(different(kilns('window')), plan.firings.length, 'fired pictures in a window');
  for (const [id, href] of Object.values(pictures).flat())
    checks.that(/^data:image\/webp;base64,.{100}/.test(href), `${id}: no picture`);
  checks.same(page.faults, [], 'while the piece grows');
  await page.context().close();
}

// Points touched, and reached by arrow keys; what stands there then is read by readings_check.py.
async function points(browser) {
  const page = await browser.open(sheet, { width: 820, height: 1180 });
  await goTo(page, 'page-step-1');
  let seed = 20240229;
  const random = () => (seed = (seed * 48271) % 2147483647) / 2147483647;
  const readings = [];
  const read = async () => {
    readings.push(await page.evaluate(() => {
      const into = document.getElementById('reading-facts');
      const [predicted, target] = [...into.querySelectorAll('.colours > div')];
      return {
        column: Number(into.dataset.column), row: Number(into.dataset.row), map: facts.map,
        words: document.getElementById('reading-words').textContent,
        view: predicted.querySelector('b').textContent.includes('window') ? 'window' : 'wall',
        predicted: predicted.dataset.rgb.split(' ').map(Number), target: target.dataset.rgb.split(' ').map(Number),
        lab: predicted.querySelector('.lab').textContent,
        recipe: [...into.querySelectorAll('.recipe li')].map((line) => ({
          step: Number(line.dataset.step), load: Number(line.dataset.load), text: line.textContent,
          powder: line.querySelector('bdi').textContent,
        })),
      };
    }));
  };
  for (let i = 0; i < 40; ++i) {
    if (i % 20 === 0) await page.click(`#views [data-view=${i === 0 ? 'wall' : 'window'}]`);
    await page.evaluate(() => window.scrollTo(0, 0));
    await page.evaluate(() => document.querySelector('.current .frame').scrollIntoView({ block: 'center' }));
    const box = await page.locator('.current .frame').boundingBox();
    const [x, y] = [random(), random()];
    const before = await page.evaluate(() => document.getElementById('reading-words').textContent);
    await page.touchscreen.tap(box.x + x * box.width, box.y + y * box.height);
    await until(page, (old) => document.getElementById('reading-words').textContent !== old, before);
    const { column, row, map } = await page.evaluate(() => ({ ...document.getElementById('reading-facts').dataset, map: facts.map }));
    checks.that(Math.abs(column / map.width - x) < 0.02 && Math.abs(row / map.height - y) < 0.02, `point ${i} is elsewhere`);
    await read();
  }
  // The cross hair walks by keys and does not turn the page.
  await page.focus('.current .piece[data-points]');
  const place = () => page.evaluate(() => ({ ...document.getElementById('reading-facts').dataset }));
  const from = await place();
  await page.keyboard.press('Shift+ArrowLeft');
  await until(page, (c) => document.getElementById('reading-facts').dataset.column !== c, from.column);
  checks.same(Math.abs(Number((await place()).column) - Number(from.column)), 1, 'a small step of the cross hair');
  await page.keyboard.press('ArrowUp');
  await until(page, (r) => document.getElementById('reading-facts').dataset.row !== r, from.row);
  checks.same(await current(page), 'page-step-1', 'after arrow keys in the picture');
  await page.click('.nudges [data-dx="1"]');
  await page.waitForTimeout(200);
  await read();
  fs.writeFileSync(path.join(out, 'readings.json'), JSON.stringify(readings));
  checks.same(page.faults, [], 'while touching');
  await page.context().close();
}

// Notes survive a reload, can be cleared and put back, and go as they are into the stock command.
async function notes(browser) {
  const page = await browser.open(sheet, { width: 390, height: 844 });
  const note = async (text) => {
    await page.fill('#grams', text);
    await page.locator('#grams').blur();
  };
  await goTo(page, 'page-step-1');
  await page.click('#done');
  await note('12,35');
  await goTo(page, 'page-step-2');
  await note('a lot');
  checks.that(await page.isVisible('#grams-fault'), 'grams that are no number are not refused');
  await note('');
  await page.click('#done');
  await goTo(page, 'page-step-3');
  await note('4.5');
  await goTo(page, 'page-firing-1');
  await page.click('#done');
  await page.reload();
  checks.same(await current(page), 'page-firing-1', 'the page after a reload');
  checks.same(await page.getAttribute('#done', 'aria-pressed'), 'true', 'the firing after a reload');
  await goTo(page, 'page-step-1');
  checks.same(await page.inputValue('#grams'), '12.35', 'grams after a reload');
  checks.same(await page.getAttribute('#done', 'aria-pressed'), 'true', 'step 1 after a reload');
  await goTo(page, 'page-cover');
  await page.click('#again');
  checks.that((await page.textContent('#kept-words')).includes('Nothing'), 'starting again clears nothing');
  await page.click('#put-back');
  const download = await downloadOf(page);
  const file = path.join(out, 'notes.json');
  await download.saveAs(file);
  const saved = JSON.parse(fs.readFileSync(file, 'utf8'));
  checks.same(saved, {
    schema: 1, title: plan.piece.title, plan_sha256: createHash('sha256').update(planText).digest('hex'),
    layers: [{ index: 1, grams: 12.35, done: true }, { index: 2, done: true }, { index: 3, grams: 4.5, done: false }],
    firings_done: 1,
  }, 'the saved notes');
  const stock = (weights) => spawnSync(powderplan, ['stock', folder, '--palette', palette, '--weights', weights], { encoding: 'utf8' });
  const taken = stock(file);
  checks.that(taken.status === 0 && taken.stdout.includes('Nothing has been changed'), `stock: ${taken.stderr}`);
  const uses = new Map();
  for (const layer of plan.layers) {
    const total = plan.totals.find(({ powder }) => powder === layer.powder);
    const share = (total.used_g - total.lands_g) / (total.sift_g - total.lands_g) || 0;
    const noted = saved.layers.find(({ index }) => index === layer.index)?.grams;
    uses.set(layer.powder, (uses.get(layer.powder) ?? 0) + (noted ?? layer.lands_g + layer.overspill_g * share));
  }
  for (const [powder, grams] of uses) {
    const line = taken.stdout.split('\n').find((text) => text.trim().startsWith(`${powder} `)) ?? '';
    checks.that(line.includes(` ${grams.toFixed(2)}`), `stock uses not ${grams.toFixed(2)} g of ${powder}: ${line}`);
  }
  fs.writeFileSync(path.join(out, 'other.json'), JSON.stringify({ ...saved, plan_sha256: 'f'.repeat(64) }));
  const refused = stock(path.join(out, 'other.json'));
  checks.that(refused.status === 3 && refused.stderr.includes('another plan'), `notes of another plan: ${refused.stderr}`);
  await page.click('#again');
  await page.click('#let-go');
  await page.reload();
  checks.same(await page.isEnabled('#save'), false, 'saving what is not there');
  checks.same(page.faults, [], 'while noting');
  await page.context().close();
}

const stored = (page) => page.evaluate(() => localStorage.getItem(NOTES_KEY));
// Chromium on a machine with much to do now and then begins a download very late, or not at all: asked again once.
async function downloadOf(page) {
  const asked = (timeout) => Promise.all([page.waitForEvent('download', { timeout }), page.click('#save')]);
  try {
    return (await asked(15000))[0];
  } catch {
    console.log('the browser began no download in 15 s: asked again');
    return (await asked(30000))[0];
  }
}
async function savedBy(page, name) {
  await goTo(page, 'page-cover');
  const download = await downloadOf(page);
  const file = path.join(out, name);
  await download.saveAs(file);
  return JSON.parse(fs.readFileSync(file, 'utf8'));
}

// Whatever stands in the storage, the page works, and nothing but marks and grams gets into the saved file.
async function damagedNotes(browser) {
  const page = await browser.open(sheet, { width: 390, height: 844 });
  const opened = async (text) => {
    await page.evaluate((value) => localStorage.setItem(NOTES_KEY, value), text);
    await page.reload();
  };
  for (const text of ['', '{', 'null', '7', '"done"', '[]', '[[1]]', '{"done":null}', '{"grams":null}', '{"fired":null}',
    '{"done":[true,true],"grams":"12","fired":7}', '{"grams":{"1":"2","2":null,"3":[4]},"done":{"1":1,"2":"yes"}}',
    '{"grams":{"1":-1,"2":1e7,"3":1e999,"0":1,"9999":1,"__proto__":{"1":5}},"done":{"0":true,"9999":true},"fired":{"99":true}}']) {
    await opened(text);
    checks.same(await current(page), 'page-cover', `with ${text}`);
    checks.that((await page.textContent('#kept-words')).includes('Nothing'), `notes are read from ${text}`);
    await goTo(page, 'page-step-1');
    checks.same(await page.inputValue('#grams'), '', `grams from ${text}`);
    checks.same(await page.getAttribute('#done', 'aria-pressed'), 'false', `done from ${text}`);
    await goTo(page, 'page-cover');
  }
  await opened(JSON.stringify({
    done: { 1: true, 2: 'x' }, grams: { 1: '<b>', 2: 3.25, 3: '4' }, fired: { 1: true, 2: 2 }, other: { a: 1 },
  }));
  checks.same((({ layers, firings_done: fired }) => ({ layers, fired }))(await savedBy(page, 'damaged.json')), {
    layers: [{ index: 1, done: true }, { index: 2, grams: 3.25, done: false }], fired: 1,
  }, 'what is whole among damaged notes');
  checks.same(page.faults, [], 'with damaged notes');
  await page.context().close();
}

// Two windows of one user: neither wipes out what the other noted, and each shows it.
async function twoWindows(browser) {
  const first = await browser.open(sheet, { width: 390, height: 844 });
  const second = await browser.open(sheet, { width: 820, height: 1180, beside: first });
  await goTo(first, 'page-step-1');
  await goTo(second, 'page-step-2');
  checks.same(await stored(first), null, 'notes written by opening and turning');
  await first.fill('#grams', '12.35');
  await until(second, () => notes.grams[1] === 12.35);
  await second.fill('#grams', '4.5');
  await second.click('#done');
  await until(first, () => notes.grams[2] === 4.5 && notes.done[2]);
  await goTo(first, 'page-step-2');
  checks.same(await first.inputValue('#grams'), '4.5', 'grams noted in the other window');
  checks.same(await first.getAttribute('#done', 'aria-pressed'), 'true', 'a step done in the other window');
  // The other's number appears while the page is open, and not in the place of another one that is being typed.
  await second.fill('#grams', '4.75');
  await until(first, () => document.getElementById('grams').value === '4.75');
  await goTo(second, 'page-step-3');
  await first.fill('#grams', 'about');
  await second.fill('#grams', '1');
  await until(first, () => notes.grams[3] === 1);
  checks.same(await first.inputValue('#grams'), 'about', 'what is being typed');
  await first.fill('#grams', '5');
  // A window that was not told of a change rereads before it writes.
  await first.evaluate(() => localStorage.setItem(NOTES_KEY, JSON.stringify({ ...notes, grams: { ...notes.grams, 1: 13 } })));
  await first.click('#done');
  const written = JSON.parse(await stored(first));
  checks.same(written, { done: {}, grams: { 1: 13, 2: 5, 3: 1 }, fired: {} }, 'the notes of both windows');
  // Turning pages in both writes no notes again.
  for (const page of [second, first]) for (const id of ['page-firing-1', 'page-step-1']) await goTo(page, id);
  checks.same(JSON.parse(await stored(second)), written, 'the notes after turning');
  // Cleared in one, something new noted in the other, put back: both are there.
  await goTo(first, 'page-cover');
  await first.click('#again');
  await until(second, () => Object.keys(notes.grams).length === 0);
  checks.same(await second.inputValue('#grams'), '', 'grams cleared in the other window');
  await second.fill('#grams', '14');
  await until(first, () => notes.grams[1] === 14);
  await first.click('#put-back');
  checks.same(JSON.parse(await stored(first)).grams, { 1: 14, 2: 5, 3: 1 }, 'notes put back beside new ones');
  for (const page of [first, second]) checks.same(page.faults, [], 'with two windows');
  await first.context().close();
}

// A browser that lends no storage: everything works, and it says that nothing is kept.
async function withoutStorage(browser) {
  const page = await browser.open(sheet, { storage: false });
  await goTo(page, 'page-step-1');
  await page.click('#done');
  await page.fill('#grams', '3');
  await page.click('#scheme');
  await goTo(page, 'page-cover');
  checks.that(await page.isVisible('#not-kept'), 'nobody says that nothing is kept');
  checks.that((await page.textContent('#kept-words')).startsWith('1 of'), 'a step that is done is lost');
  checks.same(page.faults, [], 'without storage');
  await page.context().close();
}

async function narrow(browser) {
  for (const [width, height] of [[360, 740], [390, 844], [820, 1180], [1180, 820], [844, 390]]) {
    const page = await browser.open(sheet, { width, height });
    const ids = await page.evaluate(() => [...document.querySelectorAll('.sheet')].map((section) => section.id));
    for (const id of ids) {
      await goTo(page, id);
      const wide = await page.evaluate(() => document.documentElement.scrollWidth);
      checks.that(wide <= width, `${id} is ${wide} wide on a screen of ${width}`);
      const small = await page.evaluate(() => [...document.querySelectorAll('button, select, input')]
        .map((control) => ({ id: control.id || control.textContent, ...control.getBoundingClientRect().toJSON() }))
        .filter(({ width: w, height: h }) => w > 0 && (w < 48 || h < 48)).map((control) => control.id));
      checks.same(small, [], `${id}: too small for gloves at ${width}`);
      // Where the powder goes is seen before anything is scrolled, on telephones held upright.
      if (width < 400 && id.startsWith('page-step')) {
        const seen = await page.evaluate(() => document.querySelector('.bar.bottom').getBoundingClientRect().top
          - document.querySelector('.current .piece[data-points]').getBoundingClientRect().top);
        // A name as long as a sentence leaves room for its beginning.
        const letters = await page.evaluate(() => document.querySelector('.current h2 bdi').textContent.length);
        checks.that(seen >= (letters <= 40 ? 150 : 100), `${id}: only ${seen} px of the picture on the first screen of ${width}`);
      }
    }
    checks.same(page.faults, [], `at ${width}`);
    await page.context().close();
  }
}

// Names stay text: what the plan says is on the page letter by letter, and nothing of it became an element.
async function names(browser) {
  const page = await browser.open(sheet);
  await page.click('#whole');
  const text = await page.evaluate(() => document.getElementById('pages').innerText);
  for (const name of [plan.piece.title, ...plan.powders.map((powder) => powder.name)])
    checks.that(text.includes(name), `${name} is not on the page`);
  checks.same(await page.title(), `${plan.piece.title} – worksheet`, 'title of the page');
  checks.same(await page.evaluate(() => document.querySelectorAll('hr, script[src], img, iframe').length), 0, 'elements that nobody wrote');
  checks.same(await page.evaluate(() => document.documentElement.lang), 'en', 'language');
  await page.context().close();
}

// axe-core, every rule of every standard and its best practices.
async function accessible(browser) {
  for (const dark of [false, true]) {
    const page = await browser.open(sheet, { width: 390, height: 844, dark });
    const paper = await page.evaluate(() => getComputedStyle(document.documentElement).backgroundColor);
    checks.same(paper, dark ? 'rgb(0, 0, 0)' : 'rgb(255, 255, 255)', 'paper');
    const judge = async (where) => {
      // The page's policy lets no script in; the driver's own channel may.
      const session = await page.context().newCDPSession(page);
      await session.send('Runtime.evaluate', { expression: browser.axeSource });
      const result = await page.evaluate(() => window.axe.run(document, { resultTypes: ['violations'] }));
      for (const { id, impact, nodes } of result.violations)
        checks.that(false, `${where}, ${dark ? 'dark' : 'light'}: ${impact} ${id}: ${nodes.map((node) => node.html.slice(0, 160)).join(' | ')}`);
      checks.that(result.testEngine.name === 'axe-core', 'axe-core did not run');
    };
    const ids = await page.evaluate(() => [...document.querySelectorAll('.sheet')].map((section) => section.id));
    for (const id of ids) {
      await goTo(page, id);
      if (id === 'page-step-1') {
        await page.locator('.current .piece[data-points]').click();
        await page.waitForSelector('.recipe li, #reading-facts b');
      }
      await judge(id);
    }
    await page.click('#whole');
    await judge('all pages');
    await page.click('#scheme');
    const turned = await page.evaluate(() => getComputedStyle(document.documentElement).backgroundColor);
    checks.same(turned, dark ? 'rgb(255, 255, 255)' : 'rgb(0, 0, 0)', 'paper after the switch');
    await judge('all pages after the switch');
    await page.context().close();
  }
}

const browser = await Browser.start(modules);
try {
  for (const part of [turning, growing, points, notes, damagedNotes, twoWindows, withoutStorage, narrow, names, accessible])
    await part(browser);
} finally {
  await browser.stop();
}
checks.end('the bench page works in Chromium');
