// The page of a shop: its fields, and what they make of a rod's strips.

import { Draft } from './draft.js';
import { earlierStates } from './earlier.js';
import { formOf } from './form.js';

const value = (id) => { const field = document.getElementById(id); return field ? field.value : ''; };
const draft = new Draft(document.getElementById('draft'), () => ({ rod: value('rod'), at: value('at') }));
formOf(draft);
earlierStates(draft);
document.getElementById('effect-choices').addEventListener('change', () => draft.send({ choose: true }));
