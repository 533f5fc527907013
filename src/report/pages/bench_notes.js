'use strict';
// Steps that are done and grams that were really used: kept in this browser under the plan's fingerprint, and
// written out as a file that powderplan reads.

const NOTES_KEY = `powderplan-bench-${facts.plan_sha256}`;
const MOST_GRAMS = 1e6;

// A page from a file may be refused its storage; then notes last as long as the page is open.
function lendsStorage() {
  try {
    return Boolean(window.localStorage);
  } catch {
    return false;
  }
}
function storedText(key) {
  try {
    return window.localStorage.getItem(key);
  } catch {
    return null;
  }
}
function storeText(key, text) {
  try {
    if (text === null) window.localStorage.removeItem(key);
    else window.localStorage.setItem(key, text);
    return true;
  } catch {
    return false;
  }
}

function freshNotes() {
  return { done: {}, grams: {}, fired: {} };
}
// Whatever stands in the storage, nothing but marks and grams of steps and firings of this plan is taken from it.
function notesFrom(text) {
  const read = freshNotes();
  let stored;
  try {
    stored = JSON.parse(text);
  } catch {
    return read;
  }
  const isPlain = (value) => typeof value === 'object' && value !== null && !Array.isArray(value);
  const take = (name, of, fits) => {
    const from = isPlain(stored) && isPlain(stored[name]) ? stored[name] : {};
    for (const { index } of of) if (fits(from[index])) read[name][index] = from[index];
  };
  take('done', facts.layers, (value) => value === true);
  take('grams', facts.layers, (value) => typeof value === 'number' && value >= 0 && value <= MOST_GRAMS);
  take('fired', facts.firings, (value) => value === true);
  return read;
}
let notes = notesFrom(storedText(NOTES_KEY));

// Whether what was noted last is in the storage.
let kept = lendsStorage();
function sayWhetherKept() {
  document.getElementById('not-kept').hidden = kept;
}

// Other windows may show the same plan: what they noted meanwhile stays, and only the change is added to it.
function changeNotes(change) {
  if (kept) notes = notesFrom(storedText(NOTES_KEY));
  change(notes);
  kept = storeText(NOTES_KEY, JSON.stringify(notes));
  sayWhetherKept();
}

// Grams as somebody writes them, with a point or a comma; null when that is no number of grams.
function gramsIn(text) {
  const plain = text.trim().replace(',', '.');
  if (!/^(\d+\.?\d*|\.\d+)$/.test(plain)) return null;
  const grams = Number(plain);
  return grams <= MOST_GRAMS ? grams : null;
}

function isDone(page) {
  if (page.kind === 'step') return Boolean(notes.done[page.step]);
  return page.kind === 'firing' && Boolean(notes.fired[page.firing]);
}
function setDone(page, done) {
  changeNotes((now) => {
    const marks = page.kind === 'step' ? now.done : now.fired;
    const key = page.kind === 'step' ? page.step : page.firing;
    if (done) marks[key] = true;
    else delete marks[key];
  });
}

// Firings are behind the piece one after the other: those after one that is not done do not count.
function firingsDone() {
  let count = facts.firings_done;
  while (notes.fired[count + 1]) ++count;
  return count;
}

function notesFile() {
  const layers = facts.layers
    .filter(({ index }) => notes.done[index] || index in notes.grams)
    .map(({ index }) => ({
      index,
      ...(index in notes.grams && { grams: notes.grams[index] }),
      done: Boolean(notes.done[index]),
    }));
  return { schema: 1, title: facts.title, plan_sha256: facts.plan_sha256, layers, firings_done: firingsDone() };
}

function saveNotes() {
  const blob = new Blob([`${JSON.stringify(notesFile(), null, 1)}\n`], { type: 'application/json' });
  const link = document.createElement('a');
  link.href = URL.createObjectURL(blob);
  link.download = `bench-notes-${facts.plan_sha256.slice(0, 8)}.json`;
  link.click();
  setTimeout(() => URL.revokeObjectURL(link.href), 60000);
}

const gramsField = document.getElementById('grams');
let notedStep = 0;

function openNotes(page) {
  const panel = document.getElementById('notes');
  notedStep = page.kind === 'step' ? page.step : 0;
  if (!notedStep) {
    document.getElementById('away').append(panel);
    return;
  }
  page.section.querySelector('.remind').before(panel);
  showGrams();
  document.getElementById('grams-hint').textContent = `planned: ${facts.layers[notedStep - 1].used}`;
}

function showGrams() {
  const grams = notes.grams[notedStep];
  gramsField.value = grams === undefined ? '' : String(grams);
  document.getElementById('grams-fault').hidden = true;
  gramsField.removeAttribute('aria-invalid');
}

gramsField.addEventListener('input', () => {
  const text = gramsField.value;
  const grams = gramsIn(text);
  const wrong = grams === null && text.trim() !== '';
  document.getElementById('grams-fault').hidden = !wrong;
  gramsField.setAttribute('aria-invalid', String(wrong));
  changeNotes((now) => {
    if (grams === null) delete now.grams[notedStep];
    else now.grams[notedStep] = grams;
  });
});

function showKept(page, last) {
  const panel = document.getElementById('kept');
  if (page.kind === 'cover') page.section.append(panel);
  else if (last) page.section.append(panel);
  else document.getElementById('away').append(panel);
  const steps = facts.layers.filter(({ firing }) => firing > facts.firings_done);
  const done = steps.filter(({ index }) => notes.done[index]).length;
  const weighed = Object.keys(notes.grams).length;
  const any = done + weighed + Object.keys(notes.fired).length > 0;
  document.getElementById('kept-words').textContent = any
    ? `${done} of ${steps.length} steps done, ${weighed} with grams noted; ${firingsDone()} of ${facts.firings.length} firings done.`
    : 'Nothing noted yet.';
  document.getElementById('save').disabled = done + weighed === 0;
  document.getElementById('again').disabled = !any;
}
