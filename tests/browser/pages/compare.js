// The comparison alone, on its numbers, over the real store and the real wasm sitting, with clips of the demo and their
// true events. For tests: `window.comparePage` is what they hold on to.

import { alone } from "./demo-sitting.js";
import { mount } from "/compare/view.js";

window.comparePage = await alone("compare-test", mount, ({ page, store }) => ({
  page,
  place: () => ({ way: "compare", session: store.id, clip: store.clip_id, at: null, face: "numbers" }),
}));
document.body.dataset.ready = "true";
