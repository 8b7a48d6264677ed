// The page where strips are measured. A reading is typed, pasted, or comes from a caliper that types
// and sends Enter; each goes to the server and into the file before its verdict is shown.

import { ask, place, say } from './page.js';

const root = document.getElementById('measuring');
const field = document.getElementById('reading');
const wanted = Object.fromEntries(new URLSearchParams(location.search));
const state = { seen: root.dataset.mark, now: Number(root.dataset.now), left_out: [] };
let waiting = Promise.resolve();

/** One deed after the other: a caliper may send faster than a disk writes. */
function act(deed) {
  waiting = waiting.then(async () => {
    const answer = await ask('/measure/deed', { ...wanted, ...state, ...deed });
    if (answer.cutOff) {
      // What was read is not lost: it stands in the field again, to be sent once more.
      if (deed.do === 'read' && field.value === '') field.value = deed.typed;
      return;
    }
    place(answer);
    if (answer.mark !== undefined) {
      state.seen = answer.mark;
      state.now = answer.now;
      state.left_out = answer.left_out;
    }
    if (deed.do === 'read' && !answer.kept) { field.value = deed.typed; field.select(); }
    field.focus();
  });
  return waiting;
}

document.getElementById('reading-form').addEventListener('submit', (event) => {
  event.preventDefault();
  const typed = field.value.trim();
  if (typed === '') return;
  field.value = '';
  act({ do: 'read', typed });
});

// Several readings pasted at once, a line each.
field.addEventListener('paste', (event) => {
  const lines = event.clipboardData.getData('text').split(/[\r\n]+/).map((line) => line.trim()).filter(Boolean);
  if (lines.length < 2) return;
  event.preventDefault();
  let going = true;
  for (const typed of lines)
    waiting = waiting.then(async () => {
      if (!going) return;
      const before = waiting;
      void before;
      const answer = await ask('/measure/deed', { ...wanted, ...state, do: 'read', typed });
      place(answer);
      if (answer.mark !== undefined) Object.assign(state, { seen: answer.mark, now: answer.now, left_out: answer.left_out });
      if (!answer.kept) { going = false; field.value = typed; say(`Stopped at ${typed}: what comes after it was not taken.`); }
    });
});

root.addEventListener('click', (event) => {
  const button = event.target.closest('button');
  if (!button) return;
  if (button.dataset.do) act({ do: button.dataset.do });
  if (button.dataset.go !== undefined) {
    state.now = Number(button.dataset.go);
    act({ do: 'go' });
  }
});

// What was left out is known to this page alone: it is not loaded again for another unit.
document.addEventListener('units', (event) => { event.preventDefault(); act({ do: 'go' }); });

// Whatever has the keyboard: figures go into the field.
document.addEventListener('keydown', (event) => {
  if (event.target === field || event.ctrlKey || event.metaKey || event.altKey) return;
  if (/^[0-9.+-]$/.test(event.key) && !/INPUT|SELECT|TEXTAREA/.test(event.target.tagName)) field.focus();
});

field.focus();
