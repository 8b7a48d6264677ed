// The fields of a file's keys: one more of what has a name, or of a list. Buttons have data-add, the
// path to be added below; data-first, the key that the new one gets first; data-named, the id of the
// line with its name; data-kind, the key of its kind. Without a name it is an item of a list.

import { say } from './page.js';

/** Lets the buttons of a draft's form add what they are for. */
export function formOf(draft) {
  const root = draft.root;

  const taken = (path) => draft.list.some((change) => path.every((step, i) => change.path[i] === step));

  /** The path of the new one, or nothing where its name will not do. */
  function pathOf(button, above) {
    if (!button.dataset.named) {
      let number = 0;
      while (taken([...above, `+${number}`])) number += 1;
      return [...above, `+${number}`];
    }
    const line = document.getElementById(button.dataset.named);
    const name = line.value.trim();
    if (name === '') { say('Give it a name first.'); line.focus(); return null; }
    const path = [...above, name];
    const shown = [...root.querySelectorAll('details[data-name]')].some((each) =>
      each.parentElement === button.closest('fieldset') && each.dataset.name === name);
    if (shown) { say(`There is one called ${name}.`); line.focus(); return null; }
    if (taken(path)) {
      say(`${name} was taken out: save first, undo that, or take another name.`);
      line.focus();
      return null;
    }
    line.value = '';
    return path;
  }

  /** The new one is opened, with the keyboard in its first empty field. */
  function show(path) {
    const last = JSON.stringify(path).slice(0, -1);
    const fields = [...root.querySelectorAll('#form [data-path]')].filter((each) => each.dataset.path.startsWith(last));
    for (let each = fields[0]; each; each = each.parentElement)
      if (each.tagName === 'DETAILS') each.open = true;
    const field = fields.find((each) => each.value === '') || fields[0];
    if (field) field.focus();
  }

  root.addEventListener('click', (event) => {
    const button = event.target.closest('button[data-add]');
    if (!button) return;
    const path = pathOf(button, JSON.parse(button.dataset.add));
    if (!path) return;
    const kind = button.dataset.kind ? document.getElementById(`${button.dataset.named}-kind`).value : '';
    root.addEventListener('placed', () => show(path), { once: true });
    draft.put(button.dataset.first ? [...path, button.dataset.first] : path, kind);
  });
  root.addEventListener('keydown', (event) => {
    if (event.key !== 'Enter' || !event.target.closest('.add')) return;
    const button = event.target.closest('.add').querySelector('button[data-add]');
    if (button && event.target.tagName === 'INPUT') button.click();
  });
}
