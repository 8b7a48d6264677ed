// The earlier states of a page's file: listed when they are asked for, and put back.

import { ask, place } from './page.js';

/** Serves the part `earlier-states` of a page with a draft. */
export function earlierStates(draft) {
  const states = document.getElementById('earlier-states');
  if (!states) return;
  const file = () => draft.root.dataset.file;
  const list = async () => place(await ask(`/file/earlier?file=${encodeURIComponent(file())}`));
  states.addEventListener('toggle', () => { if (states.open) list(); });
  states.addEventListener('click', async (event) => {
    const button = event.target.closest('button[data-back]');
    if (!button) return;
    const answer = await ask('/file/back', { file: file(), id: button.dataset.back });
    await draft.look();
    place(answer);
    if (answer.ok) await list();
  });
  draft.root.addEventListener('placed', () => { if (states.open) list(); });
}
