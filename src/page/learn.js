// The page that learns: which rings are ticked, and taking over what they say.

import { ask, place } from './page.js';

const form = document.getElementById('learn');
const value = (id) => { const field = document.getElementById(id); return field ? field.value : ''; };
const order = () => ({
  shop: value('shop'),
  gauge: value('gauge'),
  rings: [...form.querySelectorAll('input[data-ring]:checked')].map((each) => each.dataset.ring),
});

let busy = false;
let again = false;
/** While an answer is awaited only the last state is asked for after it. */
async function figures() {
  if (busy) { again = true; return; }
  busy = true;
  const answer = await ask('/learn/figures', order());
  busy = false;
  if (again) { again = false; figures(); return; }
  place(answer);
  if (answer.address) history.replaceState(null, '', answer.address);
}
form.addEventListener('change', (event) => {
  if (event.target.id === 'shop' && document.getElementById('gauge')) document.getElementById('gauge').value = '';
  figures();
});
document.addEventListener('click', async (event) => {
  const button = event.target.closest('#take');
  if (!button) return;
  button.disabled = true;
  const answer = await ask('/learn/take', { ...order(), seen: button.dataset.seen });
  button.disabled = false;
  place(answer);
});
