// The numbers view alone, over the real store and the real wasm sitting, with a session of the demo's true events.
// For tests: `window.numbersPage` is what they hold on to.

import { alone } from "./demo-sitting.js";
import { mount } from "/numbers/view.js";

window.numbersPage = await alone("numbers-test", mount);
document.body.dataset.ready = "true";
