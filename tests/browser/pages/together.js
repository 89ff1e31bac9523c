// The together view alone, over the real store, the real clip files and the real wasm sitting. For tests:
// `window.togetherPage` is what they hold on to.

import { Player } from "/player/player.js";
import { ClipFiles, fetchClip } from "/sitting/clip-files.js";
import { openSitting } from "./demo-sitting.js";
import * as words from "/words.js";
import { View } from "/together/view.js";

const { page, store, clips: truth } = await openSitting("together-test");
const files = new ClipFiles({ store, desk: { storage: null, begin: async () => {} }, picture: document.createElement("canvas") });
await files.followSession();
const went = [];
const told = [];
let view = null;
const context = {
  store, words, page,
  files: () => files,
  player: () => files.player,
  navigate: (way, place) => went.push({ way, ...place }),
  notify: (trouble) => told.push(trouble),
  say: () => {},
};
store.addEventListener("change", () => view?.update());
files.addEventListener("files", () => view?.update());
files.addEventListener("player", () => view?.update());

/** A number that stands for the pixels of a canvas, exact to the last bit. */
function pixelsOf(canvas) {
  const copy = new OffscreenCanvas(canvas.width, canvas.height);
  const pen = copy.getContext("2d", { willReadFrequently: true });
  pen.drawImage(canvas, 0, 0);
  const words32 = new Uint32Array(pen.getImageData(0, 0, canvas.width, canvas.height).data.buffer);
  let hash = 0x811c9dc5;
  for (const word of words32) hash = Math.imul(hash ^ word, 0x01000193) >>> 0;
  return hash;
}

/** Players of their own, against which the view's pictures are held. */
const references = new Map();

const togetherPage = {
  store, files, went, told,
  get view() { return view; },

  /** Adds a clip of the demo, its true arm events marked on the frames nearest to them. */
  async add(index, { label = truth[index].label, marks = true, wanted = () => true, seen = "side" } = {}) {
    const clip = truth[index];
    const id = await files.add({ file: await fetchClip(`/demo/${clip.file}`) }, { label });
    store.apply({ command: "edit_clip", clip: id, change: { view: seen } });
    if (marks) togetherPage.mark(id, index, wanted);
    return id;
  },

  /** Adds a numbered clip of the tests without marks. */
  async addTest(name, label) {
    return files.add({ file: await fetchClip(`/tests/clips/${name}`) }, { label });
  },

  mark(id, index, wanted = () => true) {
    const clip = truth[index];
    const commands = clip.events
      .filter(({ kind }) => ["entry", "catch", "mid_pull", "exit", "mouth_clear"].includes(kind))
      .filter(wanted)
      .map(({ kind, side, time_s }) => ({
        command: "add_mark", clip: id, kind, side, proof: "decoded",
        time: Math.min(Math.round(time_s * clip.rate_fps), clip.frame_count - 1) * clip.frame_ticks,
      }));
    store.apply({ command: "group", label: "true events", commands });
  },

  async openDemo() {
    await togetherPage.add(0);
    await togetherPage.add(1);
    togetherPage.mount();
    await togetherPage.settled();
  },

  mount() {
    view = new View(document.getElementById("main"), context);
    view.update();
  },

  unmount() {
    view.unmount();
    view = null;
  },

  /** Waits until both pictures stand. */
  async settled() {
    for (;;) {
      await view.pair.settled();
      await new Promise((resolve) => requestAnimationFrame(() => requestAnimationFrame(resolve)));
      if (!view.pair.busy && !view.pair.panes.some((pane) => pane.opening)) return;
    }
  },

  /** What the two canvases hold, as their players say. */
  frames() {
    return view.screens.map(({ canvas }) => ({ frame: Number(canvas.dataset.frame), proof: canvas.dataset.proof }));
  },

  async at(position) {
    view.goTo(position);
    await togetherPage.settled();
    return { frames: togetherPage.frames(), pixels: view.screens.map(({ canvas }) => pixelsOf(canvas)) };
  },

  /** The pixels of a frame of a demo clip, from a player that knows nothing of the view. */
  async reference(index, frame) {
    if (!references.has(index)) {
      references.set(index, await Player.open(await fetchClip(`/demo/${truth[index].file}`), document.createElement("canvas"), { share: 0.25 }));
    }
    const player = references.get(index);
    const { outcome } = await player.show(frame);
    return outcome === "shown" ? pixelsOf(player.canvas) : null;
  },

  closeReferences() {
    for (const player of references.values()) player.close();
    references.clear();
  },

  /** Plays until so many moments were shown, the run began again or it ended; every pair that was put on the screen. */
  async play({ moments = Infinity, round = false }) {
    const seen = [];
    await new Promise((resolve) => {
      const over = () => {
        const again = round && seen.length > 1 && seen.at(-1).place < seen.at(-2).place;
        if (seen.length < moments && !again && view.play.on) return;
        view.pair.removeEventListener("shown", note);
        resolve();
      };
      const note = () => {
        seen.push({ frames: togetherPage.frames().map(({ frame }) => frame), place: view.pair.shown.place, at_ms: performance.now() });
        over();
      };
      view.pair.addEventListener("shown", note);
      view.togglePlay();
    });
    if (view.play.on) view.togglePlay();
    await togetherPage.settled();
    return { seen, frames: togetherPage.frames() };
  },
};
window.togetherPage = togetherPage;
// Under the name that a second browser's driver calls by.
window.page = togetherPage;
document.body.dataset.ready = "true";
