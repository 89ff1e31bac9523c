// The numbers view alone, over the real store and the real wasm sitting, with a session of the demo's true events.
// For tests: `window.numbersPage` is what they hold on to.

import init, { Sitting } from "/wasm/page.js";
import { Store } from "/sitting/store.js";
import * as words from "/words.js";
import { mount } from "/numbers/view.js";

await init({ module_or_path: "/wasm/page_bg.wasm" });

/** A journal that keeps nothing. */
class Unkept extends EventTarget {
  saved = { state: "empty", trouble: null };
  append() {}
}

const { clips } = await (await fetch("/demo/truth.json")).json();

/** A clip record of the demo's clip, with the fields that decide about numbers. */
function recordOf(clip) {
  return {
    name: clip.file,
    label: clip.label,
    size_bytes: 1,
    fingerprint: "0".repeat(64),
    container: "mp4",
    codec: "avc1.64001F",
    width: 1280,
    height: 720,
    rotation_deg: 0,
    timescale: clip.timescale,
    frame_times: { first: 0, runs: [[clip.frame_count, clip.frame_ticks]] },
    capture_rate_fps: null,
  };
}

const sitting = Sitting.create("numbers-test", "2026-05-04");
const store = new Store();
const went = [];
const told = [];
const said = [];
store.take(sitting, new Unkept(), { readOnly: false });

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
  /** Adds a clip of the demo with those of its true events that `wanted` lets through. */
  open(index, wanted = () => true, proof = "decoded") {
    const clip = clips[index];
    store.apply({ command: "add_clip", clip: recordOf(clip) });
    const id = store.session.clips.at(-1).id;
    store.openClip(id);
    const commands = clip.events
      .filter(wanted)
      .map(({ kind, side, presentation }) => ({ command: "add_mark", clip: id, kind, side, time: presentation, proof }));
    if (commands.length > 0) {
      store.apply({ command: "group", label: "true events", commands });
    }
    return id;
  },
};
document.body.dataset.ready = "true";
