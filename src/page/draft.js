// Fields of a file on a page: what was changed in them and not saved, undone, redone, sent for
// figures, saved; and what was changed in the file by others meanwhile.
//
// A field has data-path (JSON), data-role `value` or `key`, and data-was; it has none where the
// file has nothing there; data-optional where nothing in it takes its key out, data-list where it
// holds a list. The server renders fields; this keeps a list of changes by path.

import { ask, place, say } from './page.js';

export class Draft {
  /** `order` gives what is sent beside the changes; `root` has data-draft, -file, -seen. */
  constructor(root, order) {
    this.root = root;
    this.order = order;
    this.changes = new Map();
    this.past = [];
    this.future = [];
    this.busy = false;
    this.again = null;
    root.addEventListener('input', (event) => this.typed(event.target));
    root.addEventListener('focusin', (event) => { this.beforeTyping = JSON.stringify([...this.changes]); this.marked = false; void event; });
    root.addEventListener('click', (event) => this.clicked(event));
    document.addEventListener('keydown', (event) => this.key(event));
    window.addEventListener('beforeunload', (event) => { if (this.changes.size > 0) event.preventDefault(); });
    document.addEventListener('visibilitychange', () => { if (!document.hidden) this.look(); });
    setInterval(() => { if (!document.hidden) this.look(); }, 2000);
    document.addEventListener('units', (event) => { event.preventDefault(); this.send({ whole: true, choose: true }); });
    this.buttons();
    this.trouble();
  }

  get list() { return [...this.changes.values()]; }

  /** Remembers the state before a change, for undo. */
  mark(state) {
    this.past.push(state ?? JSON.stringify([...this.changes]));
    this.future = [];
  }

  typed(field) {
    if (!field.dataset.path) return;
    if (!this.marked) { this.mark(this.beforeTyping); this.marked = true; }
    const path = JSON.parse(field.dataset.path);
    const change = this.of(path, field);
    const value = field.type === 'checkbox' ? String(field.checked) : field.value;
    if (field.dataset.role === 'key') change.key = value;
    else change.now = value === '' && field.dataset.optional ? null : value;
    this.keep(path, change);
    // What is chosen may change which fields there are; nobody types in a choice.
    this.send(field.tagName === 'SELECT' ? { whole: true } : {});
  }

  of(path, field) {
    const known = this.changes.get(JSON.stringify(path));
    if (known) return known;
    const value = field.dataset.role === 'key'
      ? this.root.querySelector(`[data-role=value][data-path=${CSS.escape(field.dataset.path)}]`) : field;
    const was = this.before(value);
    return field.dataset.list ? { path, was, now: was, list: true } : { path, was, now: was };
  }

  /** What the file has where a field is; null where nothing is. */
  before(field) {
    return field && field.dataset.was !== undefined ? field.dataset.was : null;
  }

  keep(path, change) {
    const name = JSON.stringify(path);
    const key = change.key === undefined || change.key === path[path.length - 1];
    if (change.was === change.now && key && !change.out) this.changes.delete(name);
    else this.changes.set(name, change);
    this.buttons();
  }

  /** Puts something in, or takes it out; the fields are rendered anew. */
  put(path, now) {
    this.mark();
    const known = this.changes.get(JSON.stringify(path));
    this.keep(path, { path, was: known ? known.was : null, now });
    this.send({ whole: true });
  }

  /** Takes out what is at a path and below it; what is not in the file yet is only forgotten. */
  takeOut(path, was, fresh) {
    this.mark();
    const within = (other) => path.every((step, i) => other[i] === step);
    for (const [name, change] of [...this.changes]) if (within(change.path)) this.changes.delete(name);
    if (!fresh) this.keep(path, { path, was, now: null, out: true });
    this.buttons();
    this.send({ whole: true });
  }

  /** A value that the server found, for a field that is there. */
  set(field, now) {
    this.mark();
    field.value = now;
    const path = JSON.parse(field.dataset.path);
    this.keep(path, { ...this.of(path, field), now });
    this.send();
  }

  /** Sends the draft; while an answer is awaited only the last state is sent after it. */
  async send(extra = {}) {
    if (this.busy) { this.again = { ...this.again, ...extra }; return; }
    this.busy = true;
    const answer = await ask(this.root.dataset.draft + '/figures',
      { ...this.order(), file: this.root.dataset.file, changes: this.list, ...extra });
    this.busy = false;
    this.lost = Boolean(answer.cutOff);
    if (this.again) { const next = this.again; this.again = null; this.send({ ...extra, ...next }); return; }
    place(answer);
    this.tell(answer.wrong);
    this.trouble();
    if (answer.address && this.changes.size === 0) history.replaceState(null, '', answer.address);
    if (answer.sheet && document.getElementById('sheet')) document.getElementById('sheet').href = answer.sheet;
    if (answer.seen && answer.seen !== this.root.dataset.seen) {
      this.root.dataset.seen = answer.seen;
      if (!extra.whole) this.send({ whole: true, choose: true });
    }
    this.root.dispatchEvent(new CustomEvent('placed'));
  }

  /** The bar, which stays in sight, leads to what is wrong or asked above. */
  trouble() {
    const count = (selector) => document.querySelectorAll(selector).length;
    const link = document.getElementById('trouble');
    if (!link) return;
    const asked = count('#clashes button') > 0;
    const wrong = count('#problems .wrong');
    link.textContent = asked ? 'changed here and outside' : wrong === 0 ? '' : wrong === 1 ? '1 thing wrong' : `${wrong} things wrong`;
    link.href = asked ? '#clashes' : '#problems';
  }

  /** Says at each field what is wrong with it. */
  tell(wrong) {
    if (!wrong) return;
    for (const words of this.root.querySelectorAll('.at-field')) {
      const id = words.id.replace(/-wrong$/, '');
      const told = wrong[id] || { text: '', wrong: false };
      if (words.textContent !== told.text) words.textContent = told.text;
      const field = document.getElementById(id);
      if (field && field.dataset.path) field.setAttribute('aria-invalid', String(told.wrong));
    }
  }

  async save() {
    if (this.changes.size === 0) return;
    const sent = structuredClone([...this.changes]);
    const answer = await ask('/file/save', { file: this.root.dataset.file, changes: this.list });
    if (answer.ok) {
      this.root.dataset.seen = answer.seen;
      for (const [name, change] of sent) this.saved(name, change);
      this.past = [];
      this.future = [];
    }
    place(answer);
    this.buttons();
    if (answer.ok || answer.clashes) this.send({ whole: true, choose: true });
  }

  /** The file has a change now; what was typed since then stays a change to that. */
  saved(name, change) {
    const now = this.changes.get(name);
    const plain = !change.out && change.key === undefined && !change.path.some((step) => step.startsWith('+'));
    this.changes.delete(name);
    // What is typed before the fields are rendered anew is a change to this, too.
    for (const field of this.root.querySelectorAll(`[data-role=value][data-path=${CSS.escape(name)}]`)) {
      if (change.now === null) delete field.dataset.was;
      else field.dataset.was = change.now;
    }
    if (!plain || (now && now.now === change.now)) return;
    this.changes.set(name, now ? { ...now, was: change.now } : { ...change, was: change.now, now: change.was });
  }

  step(from, to) {
    if (from.length === 0) return;
    to.push(JSON.stringify([...this.changes]));
    this.changes = new Map(JSON.parse(from.pop()));
    this.buttons();
    this.marked = false;
    this.send({ whole: true });
  }

  undo() { this.step(this.past, this.future); }
  redo() { this.step(this.future, this.past); }

  key(event) {
    if (!(event.ctrlKey || event.metaKey) || event.altKey) return;
    const key = event.key.toLowerCase();
    if (key === 's') { event.preventDefault(); this.save(); }
    if (key === 'z') { event.preventDefault(); if (event.shiftKey) this.redo(); else this.undo(); }
    if (key === 'y') { event.preventDefault(); this.redo(); }
  }

  clicked(event) {
    const button = event.target.closest('button');
    if (!button) return;
    if (button.id === 'save') this.save();
    if (button.id === 'undo') this.undo();
    if (button.id === 'redo') this.redo();
    if (button.dataset.out) {
      const path = JSON.parse(button.dataset.out);
      const field = this.root.querySelector(`[data-role=value][data-path=${CSS.escape(button.dataset.out)}]`);
      const fresh = field ? this.before(field) === null : Boolean(button.dataset.new);
      this.takeOut(path, field ? this.before(field) : button.dataset.text ?? null, fresh);
    }
    if (button.dataset.keep) this.settle(button.dataset.keep, button);
    if (button.dataset.take) { this.mark(); this.changes.delete(button.dataset.take); this.buttons(); this.send({ whole: true }); }
  }

  /** Mine shall stand, over what the file has now. */
  settle(name, button) {
    this.mark();
    const change = this.changes.get(name);
    if (!change) return;
    this.changes.set(name, { ...change, was: button.dataset.missing ? null : button.dataset.there });
    this.send({ whole: true });
  }

  /** Looks whether somebody else changed the file. */
  async look() {
    if (this.busy || document.body.classList.contains('asked')) return;
    const answer = await ask(`/file/state?file=${encodeURIComponent(this.root.dataset.file)}`);
    if (answer.ok && this.lost) { this.send({ whole: true, choose: true }); return; }  // it answers again
    if (!answer.ok || answer.seen === this.root.dataset.seen) return;
    if (answer.seen === '') { say('The file is gone. Put an earlier state back, or the file itself.'); return; }
    this.root.dataset.seen = answer.seen;
    say('The file was changed outside; the page shows it now.');
    this.send({ whole: true, choose: true });
  }

  buttons() {
    const set = (id, on) => { const b = document.getElementById(id); if (b) b.disabled = !on; };
    set('save', this.changes.size > 0);
    set('undo', this.past.length > 0);
    set('redo', this.future.length > 0);
  }
}
