// The numbers view alone, over the real store and the real wasm sitting, with a session of the demo's true events.
// For tests: `window.numbersPage` is what they hold on to.

import { openSitting } from "./demo-sitting.js";
import * as words from "/words.js";
import { mount } from "/numbers/view.js";

const { sitting, store, clips, open } = await openSitting("numbers-test");
const went = [];
const told = [];
const said = [];

const root = document.getElementById("main");
const view = mount(root, {
  store,
  words,
  player: () => null,
  navigate: (way, place) => went.push({ way, ...place }),
  notify: (trouble) => told.push(trouble),
  say: (text) => said.push(text),
});
store.addEventListener("change", () => view.update());
store.addEventListener("clip", () => view.update());
view.update();

window.numbersPage = {
  sitting,
  store,
  view,
  went,
  told,
  said,
  clips,
  open,
};
document.body.dataset.ready = "true";
