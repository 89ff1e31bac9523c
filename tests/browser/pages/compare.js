// The comparison alone, on its numbers, over the real store and the real wasm sitting, with clips of the demo and their
// true events. For tests: `window.comparePage` is what they hold on to.

import { openSitting } from "./demo-sitting.js";
import * as words from "/words.js";
import { mount } from "/compare/view.js";

const { page, sitting, store, clips, open } = await openSitting("compare-test");
const went = [];
const told = [];
const said = [];

const root = document.getElementById("main");
const view = mount(root, {
  store,
  words,
  page,
  player: () => null,
  place: () => ({ way: "compare", session: store.id, clip: store.clip_id, at: null, face: "numbers" }),
  navigate: (way, place) => went.push({ way, ...place }),
  notify: (trouble) => told.push(trouble),
  say: (text) => said.push(text),
});
store.addEventListener("change", () => view.update());
store.addEventListener("clip", () => view.update());
view.update();

window.comparePage = { page, sitting, store, view, went, told, said, clips, open };
document.body.dataset.ready = "true";
