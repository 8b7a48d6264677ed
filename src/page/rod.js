// The page of a rod: the table, the curve, and what is set up from them.

import { ask, place, say } from './page.js';
import { Draft } from './draft.js';
import { earlierStates } from './earlier.js';
import { formOf } from './form.js';

const root = document.getElementById('draft');
let at = new URLSearchParams(location.search).get('at') || '';

const value = (id) => { const field = document.getElementById(id); return field ? field.value : ''; };
const order = () => ({
  shop: value('shop'), machine: value('machine'), gauge: value('gauge'), section: value('section'), at,
});
const draft = new Draft(root, order);
formOf(draft);
earlierStates(draft);

// Shop, machine, gauge, section.
document.getElementById('choices').addEventListener('change', (event) => {
  if (event.target.id === 'shop') draft.send({ choose: true, machine: '', gauge: '' });
  else draft.send({ choose: true });
});

// The files of the set-up.
document.getElementById('write-files').addEventListener('click', async () => {
  place(await ask('/rod/files', { ...order(), file: root.dataset.file, changes: draft.list }));
});

// Another station.
document.getElementById('put-in').addEventListener('click', () => {
  const station = document.getElementById('new-station');
  const flats = document.getElementById('new-flats');
  if (station.value.trim() === '') { station.focus(); return; }
  const there = [...root.querySelectorAll('tr[data-row]')].find((row) => row.dataset.key === station.value.trim());
  if (there) {
    say('This station is there already; change its flats in the table.');
    there.querySelector('.flats').focus();
    return;
  }
  draft.put(['taper', station.value.trim()], flats.value.trim());
  at = station.value.trim();
  station.value = '';
  flats.value = '';
  station.focus();
});
for (const id of ['new-station', 'new-flats'])
  document.getElementById(id).addEventListener('keydown', (event) => {
    if (event.key === 'Enter') document.getElementById('put-in').click();
  });

// The station under the finger has its ledger shown.
function choose(key) {
  if (key === at || key === undefined) return;
  at = key;
  mark();
  draft.send();
}
function mark() {
  for (const row of root.querySelectorAll('tr[data-row]'))
    row.classList.toggle('here', row.dataset.key === at);
}
root.addEventListener('placed', mark);
root.addEventListener('focusin', (event) => {
  const row = event.target.closest('tr[data-row]');
  if (row) choose(row.dataset.key);
});
root.addEventListener('keydown', async (event) => {
  const field = event.target.closest('input.flats, input.station');
  if (!field) return;
  if (event.key === 'Enter') {
    const all = [...root.querySelectorAll(field.classList.contains('flats') ? 'input.flats' : 'input.station')];
    const next = all[all.indexOf(field) + (event.shiftKey ? -1 : 1)];
    if (next) { event.preventDefault(); next.focus(); next.select(); }
  }
  const steps = { ArrowUp: 1, ArrowDown: -1 }[event.key];
  if (!steps || !field.classList.contains('flats')) return;
  event.preventDefault();
  at = field.closest('tr').dataset.key;
  await hand({ steps });
});

/** A hand on the curve or a key; the server tells which station, and what its flats become. */
async function hand(what) {
  const answer = await ask('/rod/hand', { ...order(), file: root.dataset.file, changes: draft.list, ...what });
  if (!answer.ok) { place(answer); return answer; }
  if (answer.at !== undefined && answer.at !== at) { at = answer.at; mark(); if (answer.now === undefined) draft.send(); }
  const field = document.getElementById(answer.field);
  if (answer.now !== undefined && field && field.value !== answer.now) draft.set(field, answer.now);
  return answer;
}

const curve = document.getElementById('curve');
let dragging = null;
let moving = false;
function spot(event) {
  const svg = curve.querySelector('svg');
  const point = new DOMPoint(event.clientX, event.clientY).matrixTransform(svg.getScreenCTM().inverse());
  return { x: point.x, y: point.y };
}
curve.addEventListener('pointerdown', async (event) => {
  if (!curve.querySelector('svg')) return;
  curve.setPointerCapture(event.pointerId);
  dragging = spot(event);
  moving = true;  // which station is meant must be known first
  const { low, high } = await hand(spot(event));
  if (dragging) Object.assign(dragging, { low, high });
  moving = false;
});
curve.addEventListener('pointermove', async (event) => {
  if (!dragging || moving) return;
  const now = spot(event);
  if (Math.abs(now.y - dragging.y) < 4 && !dragging.moved) return;
  dragging.moved = true;
  moving = true;
  await hand({ ...now, low: dragging.low, high: dragging.high, drag: true });
  moving = false;
});
for (const end of ['pointerup', 'pointercancel'])
  curve.addEventListener(end, () => { dragging = null; });
