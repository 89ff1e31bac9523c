// How long from the press of a key to its mark drawn on the roll: the marking view with the real session module,
// on an empty clip and on one with 5,000 marks. Frames are shown at once by a stand-in player, so that only the
// marking is measured. Reports; asserts nothing about time.
//
// Of each press, at any moment between two frames of the screen: the work on the page's thread (the key's handler,
// then from the frame's first callback until the browser has laid out and painted it), the wait for the frame
// between the two, and whether the mark is on the screen's next refresh: painted before the frame that starts
// after the press is over.

import { launchChromium, newPage, startSite } from "./harness.mjs";
import { quantile } from "./quantile.mjs";

const PRESSES = 60;
const FRAME_MS = 1000 / 60;

/** @param {string} name @param {number[]} values */
const report = (name, values) => console.log(`${name}: median ${quantile(values, 0.5).toFixed(1)} ms, p95 ${quantile(values, 0.95).toFixed(1)} ms, n ${values.length}`);

const site = await startSite();
const { context, close } = await launchChromium();
const { page, troubles } = await newPage(context);
try {
  await page.goto(site.address);
  await page.waitForSelector('[data-action="demo"]');
  console.log(`one 60 Hz frame is ${FRAME_MS.toFixed(1)} ms`);
  for (const marks of [0, 5000]) {
    const times = await page.evaluate(measure, { marks, presses: PRESSES });
    for (const [name, presses] of Object.entries(times.presses)) {
      const of = (/** @type {(press: any) => number} */ value) => presses.map(value);
      report(`${marks} marks, ${name}: key handled (command, analysis, view)`, of((press) => press.handled_ms));
      report(`${marks} marks, ${name}: frame drawn (figures, roll, layout, paint)`, of((press) => press.frame_ms));
      report(`${marks} marks, ${name}: both, all work on the page's thread`, of((press) => press.handled_ms + press.frame_ms));
      report(`${marks} marks, ${name}: key press to frame painted, the wait for the screen in it`, of((press) => press.until_painted_ms));
      console.log(`${marks} marks, ${name}: on the screen's next refresh: ${presses.filter((press) => press.in_time).length} of ${presses.length}`);
    }
    report(`${marks} marks: roll alone, whole clip in view`, times.drawnAll);
    report(`${marks} marks: roll alone, 4 s in view`, times.drawn);
  }
  if (troubles.length > 0) throw new Error(troubles.join("\n"));
} finally {
  await close();
  await site.close();
}

/** Runs in the page. @param {{marks: number, presses: number}} how */
async function measure({ marks, presses }) {
  const { default: load, Sitting } = await import(new URL("wasm/page.js", document.baseURI).href);
  await load();
  const { Store } = await import(new URL("sitting/store.js", document.baseURI).href);
  const { View } = await import(new URL("marks/view.js", document.baseURI).href);
  const SPACING = 256;
  const frames = Math.max(1000, marks * 12);
  const sitting = Sitting.create(`bench-${marks}`, "2026-05-01");
  sitting.apply({
    command: "add_clip",
    clip: {
      name: "bench.mp4", label: "bench", size_bytes: 1000, fingerprint: "00", container: "mp4", codec: "avc1.64001F", width: 1280, height: 720,
      rotation_deg: 0, timescale: 15360, frame_times: { first: 0, runs: [[frames, SPACING]] }, capture_rate_fps: null, filmed_rate_fps: null,
      view: "side", kick: null, aids: [], speed: null, notes: "", duplicated_frames: null,
    },
  });
  const clip = sitting.session_view().clips[0].id;
  if (marks > 0) {
    // Cycles of 80 frames, the right arm half a cycle after the left.
    const commands = Array.from({ length: marks }, (_, index) => {
      const cycle = Math.floor(index / 8);
      const side = index % 8 < 4 ? "left" : "right";
      const frame = 10 + cycle * 80 + (side === "right" ? 40 : 0) + [0, 26, 44, 58][index % 4];
      return { command: "add_mark", clip, kind: ["entry", "catch", "mid_pull", "exit"][index % 4], side, time: frame * SPACING, proof: "decoded" };
    });
    sitting.apply({ command: "group", label: "bench", commands });
  }
  const journal = Object.assign(new EventTarget(), { saved: { state: "saved", trouble: null }, append() {}, whenSaved: async () => {} });
  const store = new Store();
  store.take(sitting, journal, { readOnly: false, clip });
  const player = Object.assign(new EventTarget(), {
    method: "decoder", frameCount: frames, isPlaying: false, facts: { timescale: 15360, frame_times: { first: 0, runs: [[frames, SPACING]] } },
    current: { frame: 0, ticks: 0, proof: "decoded", playing: false },
    ticksOf: (frame) => frame * SPACING,
    frameAt: (ticks) => Math.min(Math.max(Math.floor(ticks / SPACING), 0), frames - 1),
    async show(frame) {
      this.current = { frame, ticks: frame * SPACING, proof: "decoded", playing: false };
      this.dispatchEvent(new CustomEvent("shown", { detail: this.current }));
      return { outcome: "shown", ...this.current, trouble: null };
    },
  });
  const root = document.createElement("main");
  root.className = "main";
  Object.assign(root.style, { position: "fixed", inset: "0", background: "white" });
  document.body.append(root);
  const view = new View(root, {
    store, picture: document.createElement("canvas"), player: () => player, files: () => ({ opening: false }),
    navigate() {}, say() {}, notify(error) { throw error; },
  });
  store.addEventListener("change", () => view.update());
  view.act("guide");
  const screenFrame = () => new Promise((resolve) => requestAnimationFrame(() => setTimeout(resolve, 0)));
  await screenFrame();
  await screenFrame();
  const drawTime = () => {
    const start = performance.now();
    view.roll.draw();
    // Reading a pixel back makes the drawing happen now.
    view.roll.pen.getImageData(0, 0, 1, 1);
    return performance.now() - start;
  };
  const middle = Math.floor(frames / 2);
  /** Presses the key `wait_ms` after a frame and follows it until it is painted. @param {number} wait_ms */
  async function press(wait_ms) {
    await screenFrame();
    const until = performance.now() + wait_ms;
    while (performance.now() < until);
    const painted = new Promise((resolve) => {
      requestAnimationFrame((frame) => {
        const from = performance.now();
        // A message is a task of its own: it runs once this frame is laid out and painted.
        const { port1, port2 } = new MessageChannel();
        port1.onmessage = () => resolve({ frame, from, to: performance.now() });
        port2.postMessage(null);
      });
    });
    const drawn = new Promise((resolve) => view.roll.canvas.addEventListener("drawn", resolve, { once: true }));
    const start = performance.now();
    document.body.dispatchEvent(new KeyboardEvent("keydown", { code: "Digit0", key: "0", bubbles: true, cancelable: true }));
    const handled = performance.now();
    const { frame, from, to } = await painted;
    await drawn;
    return { handled_ms: handled - start, frame_ms: to - from, until_painted_ms: to - start, in_time: to - frame < 1000 / 60 };
  }
  const measured = {};
  let turn = 0;
  for (const [name, show] of [["4 s in view", () => view.roll.window.showSeconds(4, view.roll.playhead.ticks)], ["whole clip in view", () => view.act("zoom_all")]]) {
    show();
    measured[name] = [];
    for (let of = 0; of < presses; of += 1) {
      await player.show(middle + turn);
      await screenFrame();
      // Spread evenly over the time between two frames.
      measured[name].push(await press((of * 7 % presses) / presses * (1000 / 60)));
      turn += 1;
    }
  }
  const drawnAll = Array.from({ length: presses }, drawTime);
  view.roll.window.showSeconds(4, view.roll.playhead.ticks);
  const drawnNear = Array.from({ length: presses }, drawTime);
  const count = store.marking().marks.length;
  if (count !== marks + turn) throw new Error(`${count} marks after ${turn} presses on ${marks}`);
  view.unmount();
  root.remove();
  return { presses: measured, drawnAll, drawn: drawnNear };
}
