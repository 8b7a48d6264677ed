// The page that chooses six: sends what is asked, waits, and keeps what was found.

import { ask, fields, place, say } from './page.js';

const form = document.getElementById('choose');
const busy = document.getElementById('busy');
const go = document.getElementById('go');
let working = false;

/** While it works its progress is seen; it is said aloud only that it works, and when it is done. */
async function choose() {
  if (working) return;
  working = true;
  go.disabled = true;
  const seconds = document.getElementById('time').value;
  say(`Looking for the best; at most about ${seconds} seconds for each section.`);
  busy.textContent = 'Looking for the best ...';
  const watch = setInterval(async () => {
    const answer = await ask('/choose/progress');
    if (working && answer.doing) busy.textContent = `Looking for the best: ${answer.doing}`;
  }, 700);
  const answer = await ask('/choose/run', fields(form));
  working = false;
  clearInterval(watch);
  busy.textContent = '';
  go.disabled = false;
  place(answer);
  if (answer.address) history.replaceState(null, '', answer.address);
  const shown = answer.ok ? document.getElementById('found') : document.getElementById('problems');
  if (shown) { shown.focus({ preventScroll: true }); shown.scrollIntoView({ block: 'start' }); }
}

form.addEventListener('submit', (event) => { event.preventDefault(); choose(); });
form.addEventListener('input', () => {
  const stale = document.getElementById('stale');
  if (stale) stale.hidden = false;
});
form.addEventListener('change', async (event) => {
  if (event.target.id === 'file' || event.target.id === 'shop')
    place(await ask('/choose/form', { ...fields(form), ...(event.target.id === 'file' ? { section: '' } : { gauge: '' }) }));
});
document.addEventListener('click', async (event) => {
  const button = event.target.closest('button[data-keep]');
  if (!button) return;
  button.disabled = true;
  place(await ask('/choose/keep', { choice: button.dataset.keep, replace: button.dataset.replace === 'yes' }));
  button.disabled = false;
});
if (form.dataset.again) choose();
