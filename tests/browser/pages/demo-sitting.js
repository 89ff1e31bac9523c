// A store over the real wasm sitting, with clips of the demo and their true events as marks; nothing is kept and no
// file is at hand. For the pages that show one view alone.

import init, * as page from "/wasm/page.js";
import { Store } from "/sitting/store.js";
import * as words from "/words.js";

/** A journal that keeps nothing. */
class Unkept extends EventTarget {
  saved = { state: "empty", trouble: null };
  append() {}
}

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

/** @param {string} id the session's */
export async function openSitting(id) {
  await init({ module_or_path: "/wasm/page_bg.wasm" });
  const { clips } = await (await fetch("/demo/truth.json")).json();
  const sitting = page.Sitting.create(id, "2026-05-04");
  const store = new Store();
  store.take(sitting, new Unkept(), { readOnly: false });
  /**
   * Adds a clip of the demo with those of its true events that `wanted` lets through, moved by `stray` frames.
   * @param {number} index
   */
  function open(index, wanted = () => true, proof = "decoded", stray = (_event) => 0) {
    const clip = clips[index];
    store.apply({ command: "add_clip", clip: recordOf(clip) });
    const clipId = store.session.clips.at(-1).id;
    store.openClip(clipId);
    const commands = clip.events
      .filter(wanted)
      .map((event) => ({ command: "add_mark", clip: clipId, kind: event.kind, side: event.side, time: event.presentation + stray(event) * clip.frame_ticks, proof }));
    if (commands.length > 0) {
      store.apply({ command: "group", label: "true events", commands });
    }
    return clipId;
  }
  return { page, sitting, store, clips, open };
}

/**
 * Shows one view alone over such a sitting; answers what a test holds on to.
 * @param {string} id the session's
 * @param {(root: HTMLElement, context: any) => any} mount the view's
 * @param {(opened: Awaited<ReturnType<typeof openSitting>>) => object} [more] what this view's context has besides
 */
export async function alone(id, mount, more = () => ({})) {
  const opened = await openSitting(id);
  const { store } = opened;
  const went = [];
  const told = [];
  const said = [];
  const view = mount(document.getElementById("main"), {
    store,
    words,
    player: () => null,
    navigate: (way, place) => went.push({ way, ...place }),
    notify: (trouble) => told.push(trouble),
    say: (text) => said.push(text),
    ...more(opened),
  });
  for (const kind of ["change", "clip"]) store.addEventListener(kind, () => view.update());
  view.update();
  return { ...opened, view, went, told, said };
}
