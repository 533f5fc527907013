'use strict';
// The picture of the page that is open: what it shows, and the cross hair by which points are read.

const SVG = document.querySelector('svg').namespaceURI;
const VIEW_WORDS = { wall: 'on a wall', window: 'in a window' };
const viewButtons = [...document.querySelectorAll('#views button')];
// What the reader wants to see while pages turn, and where the cross hair stands.
const looking = { view: 'place', point: null, svg: null, page: null };

function drawn(name, attributes, parent) {
  const element = document.createElementNS(SVG, name);
  for (const [key, value] of Object.entries(attributes)) element.setAttribute(key, value);
  parent?.append(element);
  return element;
}

// Views that a page has, and the one that it was printed with.
function viewsOf(page) {
  if (page.kind === 'step') return { has: ['place', 'loose', 'wall', 'window'], printed: 'place' };
  if (page.kind === 'firing') return { has: ['loose', 'wall', 'window'], printed: facts.view };
  return { has: ['wall', 'window'], printed: facts.view };
}
function viewOf(page) {
  const { has, printed } = viewsOf(page);
  return has.includes(looking.view) ? looking.view : printed;
}

// What a picture printed in this page shows.
function hrefOf(id) {
  return document.getElementById(id)?.getAttribute('href') ?? '';
}

function addressOf(page, view) {
  const firing = page.kind === 'cover' ? facts.firings.length : page.firing;
  if (view === 'loose') {
    const laid = page.kind === 'step' ? page.step : facts.layers.findLast((l) => l.firing === firing).index;
    return hrefOf(`laid-${laid}`);
  }
  return pictures().fired[firing - 1]?.[view] || hrefOf(`firing-${firing}`);
}

function captionOf(page, view) {
  if (view === viewsOf(page).printed) return '';
  if (view === 'loose')
    return page.kind === 'step' ? `After step ${page.step}, loose on the bench.` : `As it goes into firing ${page.firing}.`;
  const when = page.kind === 'cover' ? 'Finished' : `After firing ${page.firing}`;
  return `${when}, ${VIEW_WORDS[view]}, as predicted.`;
}

function showView() {
  const { page, svg } = looking;
  if (!svg) return;
  const view = viewOf(page);
  const { has, printed } = viewsOf(page);
  for (const button of viewButtons) {
    button.hidden = !has.includes(button.dataset.view);
    button.setAttribute('aria-pressed', String(button.dataset.view === view));
  }
  const base = svg.querySelector('image');
  let over = svg.querySelector('.over');
  if (view === printed) {
    over?.remove();
  } else {
    over ??= drawn('image', { class: 'over', preserveAspectRatio: 'none' });
    for (const side of ['x', 'y', 'width', 'height']) over.setAttribute(side, base.getAttribute(side));
    over.setAttribute('href', addressOf(page, view));
    base.after(over);
  }
  svg.querySelector('.drawn')?.classList.toggle('away', view !== printed);
  const caption = captionOf(page, view);
  document.getElementById('seen').textContent = caption;
  svg.parentElement.querySelector('figcaption').hidden = view !== printed;
  svg.setAttribute('aria-label', `${caption || svg.dataset.label}. Arrow keys move the cross hair.`);
  showPoint();
}

function drawCross() {
  const { svg, point } = looking;
  svg.querySelector('.cross')?.remove();
  if (!point) return;
  const { x, y } = mmOf(point);
  const unit = Math.max(facts.width_mm, facts.height_mm) / 300;
  const cross = drawn('g', { class: 'cross', fill: 'none', 'pointer-events': 'none' }, svg);
  const gap = 4 * unit;
  const way = `M0 ${y}H${x - gap}M${x + gap} ${y}H${facts.width_mm}M${x} 0V${y - gap}M${x} ${y + gap}V${facts.height_mm}`;
  for (const [colour, width] of [['#fff', 2.4], ['#000', 1]]) {
    drawn('path', { d: way, stroke: colour, 'stroke-width': width * unit }, cross);
    drawn('circle', { cx: x, cy: y, r: gap, stroke: colour, 'stroke-width': width * unit }, cross);
  }
}

function element(name, text, className) {
  const made = document.createElement(name);
  if (text) made.textContent = text;
  if (className) made.className = className;
  return made;
}

function colourBlock(title, rgb) {
  const block = element('div');
  const swatch = element('span', '', 'swatch');
  swatch.style.background = `rgb(${rgb.join(' ')})`;
  const lab = labOf(rgb);
  block.append(swatch, element('b', title), element('span', colourWords(lab)), element('span', labText(lab), 'lab'));
  block.dataset.rgb = rgb.join(' ');
  return block;
}

function recipeLine(layer, page) {
  const line = element('li');
  const down = page.kind === 'firing' || page.kind === 'step'
    ? layer.index <= page.reached ? 'lies there by now' : 'still to come' : '';
  const loose = (layer.load * facts.loose_mm_per_g_cm2).toFixed(1);
  const powder = element('bdi', layer.powder);
  line.append(element('span', String(layer.index), 'which'), powder, element('span', `${layer.load.toFixed(3)} g/cm²`, 'much'));
  line.append(element('small', [`${loose} mm high loose`, `firing ${layer.firing}`, down].filter(Boolean).join(' · ')));
  Object.assign(line.dataset, { step: layer.index, load: layer.load });
  return line;
}

let asked = 0;
async function showPoint() {
  const { page, svg, point } = looking;
  if (!svg) return;
  drawCross();
  if (!point) return;
  const turn = ++asked;
  const view = ['wall', 'window'].includes(viewOf(page)) ? viewOf(page) : facts.view;
  const found = await readPoint(point, view);
  if (turn !== asked) return;
  const { x, y } = mmOf(point);
  const words = [`x ${x.toFixed(1)}, y ${y.toFixed(1)} mm: ${colourWords(labOf(found.predicted))}`];
  if (!found.trusted) words.push('This browser hides pictures from pages: what stands here may be wrong.');
  document.getElementById('reading-words').textContent = words.join('. ');
  const colours = element('div', '', 'colours');
  colours.append(colourBlock(`Predicted, ${VIEW_WORDS[view]}`, found.predicted), colourBlock('Aimed at', found.target));
  const list = element('ol', '', 'recipe');
  list.append(...found.recipe.map((layer) => recipeLine(layer, page)));
  const title = found.recipe.length ? 'Recipe, from the sheet up (step, powder, load)' : 'Nothing but the bare sheet lies here.';
  const into = document.getElementById('reading-facts');
  into.replaceChildren(colours, element('b', title), list);
  Object.assign(into.dataset, { column: point.column, row: point.row });
  document.getElementById('reading').classList.add('found');
}

function moveCross(dx, dy, fine) {
  const by = fine ? 1 : Math.max(1, Math.round(facts.map.width / 100));
  const from = looking.point ?? { column: Math.floor(facts.map.width / 2), row: Math.floor(facts.map.height / 2) };
  const held = (value, count) => Math.min(count - 1, Math.max(0, value));
  looking.point = looking.point
    ? { column: held(from.column + dx * by, facts.map.width), row: held(from.row + dy * by, facts.map.height) }
    : from;
  showPoint();
}

const ARROWS = { ArrowLeft: [-1, 0], ArrowRight: [1, 0], ArrowUp: [0, -1], ArrowDown: [0, 1] };

function pictureKey(event) {
  const way = ARROWS[event.key];
  if (!way || event.ctrlKey || event.altKey || event.metaKey) return;
  event.preventDefault();
  event.stopPropagation();
  moveCross(...way, event.shiftKey);
}

function pictureTouch(event) {
  if (event.type === 'pointermove' && (event.pointerType === 'touch' || event.buttons !== 1)) return;
  const { svg } = looking;
  const { x, y } = new DOMPoint(event.clientX, event.clientY).matrixTransform(svg.getScreenCTM().inverse());
  const slack = facts.width_mm / 50;
  if (x < -slack || y < -slack || x > facts.width_mm + slack || y > facts.height_mm + slack) return;
  looking.point = pointAt(x, y);
  showPoint().then(() => document.querySelector('.colours')?.scrollIntoView({ block: 'nearest' }));
}

// The tools stand with the picture of one page; the page that is left looks as it is printed.
function leavePicture() {
  const { svg } = looking;
  if (!svg) return;
  svg.querySelector('.over')?.remove();
  svg.querySelector('.cross')?.remove();
  svg.querySelector('.drawn')?.classList.remove('away');
  svg.parentElement.querySelector('figcaption').hidden = false;
  svg.setAttribute('role', 'img');
  svg.setAttribute('aria-label', svg.dataset.label);
  svg.removeAttribute('tabindex');
  svg.removeAttribute('data-points');
  svg.removeEventListener('keydown', pictureKey);
  svg.removeEventListener('click', pictureTouch);
  svg.removeEventListener('pointermove', pictureTouch);
  looking.svg = null;
}

function openPicture(page) {
  leavePicture();
  const image = page.kind === 'cover' ? document.getElementById('final') : page.section.querySelector('.work .piece image');
  const tools = ['views', 'seen', 'reading'].map((id) => document.getElementById(id));
  if (!['cover', 'step', 'firing'].includes(page.kind) || !image || !facts.firings.length) {
    document.getElementById('away').append(...tools);
    return;
  }
  const svg = image.closest('svg');
  Object.assign(looking, { page, svg });
  svg.dataset.label ??= svg.getAttribute('aria-label');
  svg.dataset.points = '';
  svg.setAttribute('role', 'application');
  svg.setAttribute('tabindex', '0');
  svg.addEventListener('keydown', pictureKey);
  svg.addEventListener('click', pictureTouch);
  svg.addEventListener('pointermove', pictureTouch);
  const [views, seen, reading] = tools;
  (svg.closest('.pair') ?? svg).before(views);
  svg.after(seen);
  svg.parentElement.append(reading);
  showView();
}

for (const button of viewButtons)
  button.addEventListener('click', () => {
    looking.view = button.dataset.view;
    showView();
  });
for (const button of document.querySelectorAll('.nudges button'))
  button.addEventListener('click', (event) => moveCross(Number(button.dataset.dx), Number(button.dataset.dy), event.shiftKey));
