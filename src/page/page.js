// What all pages share: sending, putting answers in their places, the choice of unit. No figure is
// computed here; the server does that, and answers with parts of the page.

const $ = (id) => document.getElementById(id);

/** Says a sentence, for eyes and for screen readers. */
export function say(text) {
  const place = $('say');
  place.textContent = text;
  clearTimeout(place.timer);
  place.timer = setTimeout(() => { place.textContent = ''; }, 8000);
}

/** Asks the server; gives its answer with `ok`, or says that it is not there. */
export async function ask(path, order) {
  const call = order === undefined ? {} : {
    method: 'POST', headers: { 'Content-Type': 'application/json' }, body: JSON.stringify(order),
  };
  let response, isJson, content;
  try {
    response = await fetch(path, { ...call, credentials: 'same-origin' });
    isJson = (response.headers.get('Content-Type') || '').startsWith('application/json');
    content = isJson ? await response.json() : await response.text();
  } catch (fault) {  // no answer, or one that breaks off
    // A look every other second need not say it again.
    const known = order === undefined && document.body.classList.contains('cut-off');
    document.body.classList.add('cut-off');
    if (!known) say('The program does not answer. Start it again; what stands here stays.');
    return { ok: false, parts: {}, cutOff: true };
  }
  if (document.body.classList.contains('cut-off')) {
    document.body.classList.remove('cut-off');
    say('');
  }
  if (!isJson) {
    say(content.split('\n')[0]);
    return { ok: false, parts: {} };
  }
  return { ok: response.ok, status: response.status, parts: {}, ...content };
}

// What each part was made of: to read that back from the page would be slow.
const placed = new WeakMap();

/** Puts parts in their places; the field that has the keyboard keeps it, and its caret. */
export function place(answer) {
  const active = document.activeElement;
  const id = active && active.id;
  const caret = active && active.tagName === 'INPUT' ? [active.selectionStart, active.selectionEnd] : null;
  for (const [key, html] of Object.entries(answer.parts)) {
    const element = $(key);
    // What was typed into a field is no part of what it was made of.
    const known = element && placed.get(element) === html && !element.querySelector('input, select, textarea');
    if (!element || known) continue;
    placed.set(element, html);
    const opened = [...element.querySelectorAll('details[id][open]')].map((each) => each.id);
    element.innerHTML = html;
    for (const each of opened) if ($(each)) $(each).open = true;
  }
  if (id && !document.activeElement.id && $(id)) {
    $(id).focus();
    if (caret && $(id).setSelectionRange) $(id).setSelectionRange(...caret);
  }
  if (answer.say) say(answer.say);
  if (answer.go) window.location.assign(answer.go);
}

/** All fields of a form, by their names. */
export function fields(form) {
  const out = {};
  for (const each of form.querySelectorAll('input[name], select[name], textarea[name]')) {
    if (each.type === 'checkbox') out[each.name] = each.checked;
    else out[each.name] = each.value;
  }
  return out;
}

// A form that is sent as it is: <form data-send="/path">.
document.addEventListener('submit', async (event) => {
  const form = event.target;
  if (!form.dataset.send) return;
  event.preventDefault();
  place(await ask(form.dataset.send, fields(form)));
});

// The unit of figures on this device. A page with something on it that is not saved answers the
// event by showing its parts anew; others are loaded again.
document.addEventListener('click', async (event) => {
  const button = event.target.closest('button[data-units]');
  if (!button) return;
  const answer = await ask('/units', { units: button.dataset.units });
  if (!answer.ok) return;
  if (document.dispatchEvent(new CustomEvent('units', { cancelable: true }))) window.location.reload();
  for (const each of document.querySelectorAll('button[data-units]'))
    each.setAttribute('aria-pressed', String(each === button));
});
