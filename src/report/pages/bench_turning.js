'use strict';
// One page at a time: by button, list, keys and swipe. Without this script all pages stand one below the other.

const root = document.documentElement;
const pages = [...document.querySelectorAll('#pages > .sheet')].map((section) => {
  const step = Number(section.dataset.step ?? 0);
  const firing = Number(section.dataset.firing ?? 0);
  const kind = step ? 'step' : firing ? 'firing' : section.id === 'page-cover' ? 'cover' : 'other';
  // The last step that lies on the glass while this page is open.
  const reached = step || facts.layers.filter((layer) => layer.firing <= firing).length;
  return { section, kind, step, firing, reached };
});
const goTo = document.getElementById('goto');
const doneButton = document.getElementById('done');
const backButton = document.getElementById('back');
const nextButton = document.getElementById('next');
const undoBar = document.getElementById('undo');
// The page to open next time is no note: it has its own place, so that turning writes no notes.
const PAGE_KEY = `${NOTES_KEY}-page`;
const openedLast = storedText(PAGE_KEY);
let at = Math.max(0, pages.findIndex(({ section }) => section.id === openedLast));

pages.forEach((page, i) => goTo.append(new Option('', String(i))));

function turning() {
  return root.classList.contains('turning');
}

function showMarks() {
  pages.forEach((page, i) => {
    goTo.options[i].text = `${isDone(page) ? '✓ ' : ''}${page.section.dataset.goto}`;
  });
  const page = pages[at];
  const can = page.kind === 'step' || page.kind === 'firing';
  doneButton.disabled = !can;
  doneButton.setAttribute('aria-pressed', String(isDone(page)));
  showKept(page, page.kind === 'firing' && page.firing === facts.firings.length);
}

function showPage() {
  const page = pages[at];
  for (const { section } of pages) section.classList.toggle('current', section === page.section);
  goTo.value = String(at);
  backButton.disabled = at === 0;
  nextButton.disabled = at + 1 === pages.length;
  openPicture(page);
  openNotes(page);
  showMarks();
}

function turnTo(index) {
  if (index < 0 || index >= pages.length || index === at) return;
  at = index;
  storeText(PAGE_KEY, pages[at].section.id);
  showPage();
  window.scrollTo(0, 0);
  document.getElementById('said').textContent =
    `${pages[at].section.dataset.goto}${isDone(pages[at]) ? ', done' : ''}. Page ${at + 1} of ${pages.length}.`;
}

function showAll(all) {
  root.classList.toggle('turning', !all);
  document.getElementById('whole').setAttribute('aria-pressed', String(all));
  document.querySelector('.bar.bottom').hidden = all;
  if (all) {
    leavePicture();
    for (const id of ['views', 'seen', 'reading', 'notes', 'kept'])
      document.getElementById('away').append(document.getElementById(id));
    pages[at].section.scrollIntoView();
  } else {
    showPage();
    window.scrollTo(0, 0);
  }
}

backButton.addEventListener('click', () => turnTo(at - 1));
nextButton.addEventListener('click', () => turnTo(at + 1));
goTo.addEventListener('change', () => {
  const index = Number(goTo.value);
  if (turning()) turnTo(index);
  else pages[(at = index)].section.scrollIntoView();
});
document.getElementById('whole').addEventListener('click', () => showAll(turning()));
doneButton.addEventListener('click', () => {
  setDone(pages[at], !isDone(pages[at]));
  showMarks();
});

document.addEventListener('keydown', (event) => {
  if (!turning() || event.ctrlKey || event.altKey || event.metaKey) return;
  if (event.target.closest('input, select, .scroll')) return;
  if (event.key === 'ArrowRight') turnTo(at + 1);
  else if (event.key === 'ArrowLeft') turnTo(at - 1);
});

// A swipe is longer than a glove is clumsy, and plainly sideways.
const SHORTEST_SWIPE = 70;
let from = null;
document.getElementById('pages').addEventListener('touchstart', (event) => {
  const [touch] = event.touches;
  from = event.touches.length === 1 && !event.target.closest('.scroll, input') ? { x: touch.clientX, y: touch.clientY } : null;
}, { passive: true });
document.getElementById('pages').addEventListener('touchend', (event) => {
  if (!from || !turning() || window.visualViewport?.scale > 1.05) return;
  const [touch] = event.changedTouches;
  const dx = touch.clientX - from.x;
  const dy = touch.clientY - from.y;
  from = null;
  if (Math.abs(dx) >= SHORTEST_SWIPE && Math.abs(dx) > 2 * Math.abs(dy)) turnTo(at + (dx < 0 ? 1 : -1));
});

// Starting again can be taken back instead of being asked about.
let cleared = null;
document.getElementById('save').addEventListener('click', saveNotes);
document.getElementById('again').addEventListener('click', () => {
  changeNotes((now) => {
    cleared = { ...now };
    Object.assign(now, freshNotes());
  });
  openNotes(pages[at]);
  showMarks();
  undoBar.hidden = false;
  document.getElementById('put-back').focus();
});
function endUndo(putBack) {
  if (putBack)
    changeNotes((now) => {
      for (const [name, before] of Object.entries(cleared)) now[name] = { ...before, ...now[name] };
    });
  cleared = null;
  undoBar.hidden = true;
  openNotes(pages[at]);
  showMarks();
}
document.getElementById('put-back').addEventListener('click', () => endUndo(true));
document.getElementById('let-go').addEventListener('click', () => endUndo(false));
gramsField.addEventListener('change', showMarks);

// What another window noted shows here too; a number that is being typed is left alone unless it is that one.
function readAgain() {
  if (!kept) return;
  const before = notes.grams[notedStep];
  notes = notesFrom(storedText(NOTES_KEY));
  if (notedStep && notes.grams[notedStep] !== before) showGrams();
  showMarks();
}
window.addEventListener('storage', ({ key }) => {
  if (key === NOTES_KEY || key === null) readAgain();
});
window.addEventListener('pageshow', ({ persisted }) => {
  if (persisted) readAgain();
});

for (const bar of document.querySelectorAll('.bar')) bar.hidden = false;
root.classList.add('turning');
sayWhetherKept();
showPage();
