// What a test asks of the player inside the page: open a clip, walk over frames, read the numbers that the
// canvas then shows. Every function takes and returns plain data, so that any driver can call it.

import { Picture } from "/player/picture.js";
import { Player } from "/player/player.js";
import initialise, { Sitting } from "/wasm/page.js";

const COLUMNS = 8;
const ROWS = 4;
const canvas = document.getElementById("picture");
// A canvas of our own, to read from: reading from the player's would change how the browser keeps it.
const reading = document.createElement("canvas");

/** The number that the picture carries, or null when its bits and their complements do not agree. */
export function readNumber(picture = canvas) {
  reading.width = picture.width;
  reading.height = picture.height;
  const context = reading.getContext("2d", { willReadFrequently: true });
  context.drawImage(picture, 0, 0);
  const { data } = context.getImageData(0, 0, picture.width, picture.height);
  const bit = (column, row) => {
    const x = Math.floor(((column + 0.5) / COLUMNS) * picture.width);
    const y = Math.floor(((row + 0.5) / ROWS) * picture.height);
    return data[(y * picture.width + x) * 4 + 1] > 127 ? 1 : 0;
  };
  let number = 0;
  for (let place = 0; place < 16; place += 1) {
    const [column, row] = [place % COLUMNS, Math.floor(place / COLUMNS)];
    if (bit(column, row) === bit(column, row + 2)) return null;
    number = number * 2 + bit(column, row);
  }
  return number;
}

async function fileOf(name) {
  const response = await fetch(new URL(`../../clips/${name}`, import.meta.url));
  if (!response.ok) throw new Error(`${name}: ${response.status}`);
  return new File([await response.blob()], name);
}

const wait = (/** @type {number} */ time_ms) => new Promise((resolve) => { setTimeout(resolve, time_ms); });

let player = null;
let events = [];

const page = {
  /** Opens a clip; the facts, or the trouble. */
  async open(name, options = {}) {
    return page.openFile(await fileOf(name), options);
  },

  /** Opens the file that was chosen in the page. */
  async openChosen(options = {}) {
    return page.openFile(document.getElementById("file").files[0], options);
  },

  async openFile(file, options) {
    page.close();
    try {
      player = await Player.open(file, canvas, options);
    } catch (trouble) {
      if (trouble.kind === undefined) throw trouble;
      return { trouble: { ...trouble } };
    }
    events = [];
    for (const type of ["shown", "playing", "paused", "trouble"]) {
      player.addEventListener(type, (event) => events.push({ type, detail: event.detail ?? null }));
    }
    return {
      method: player.method, frame_count: player.frameCount, facts: player.facts, current: player.current,
      cautions: player.cautions.map(({ kind }) => kind), size: [canvas.width, canvas.height], number: readNumber(),
      duration_s: player.clock.secondsAt(player.clock.end),
    };
  },

  /** Shows frame after frame; what was said and what was seen of each. */
  async walk(frames) {
    const seen = [];
    for (const frame of frames) {
      const { outcome, proof, trouble } = await player.show(frame);
      seen.push({ frame, outcome, proof, trouble: trouble?.message ?? null, number: readNumber(), current: player.current.frame });
    }
    return seen;
  },

  /** Asks for all frames at once, as a held key does; only what the last one became counts. */
  async rush(frames) {
    const outcomes = await Promise.all(frames.map((frame) => player.show(frame)));
    return { outcomes: outcomes.map(({ outcome }) => outcome), number: readNumber(), current: player.current };
  },

  /** Plays and reads each frame that is shown, until `count` were or the stretch is over. */
  async play(rate, stretch, count) {
    const seen = [];
    const began = performance.now();
    await new Promise((resolve) => {
      const shown = ({ detail }) => {
        if (!detail.playing) return;
        seen.push({ frame: detail.frame, proof: detail.proof, number: readNumber(), at_ms: performance.now() - began });
        if (seen.length >= count) end();
      };
      const end = () => {
        player.removeEventListener("shown", shown);
        player.removeEventListener("paused", end);
        resolve();
      };
      player.addEventListener("shown", shown);
      player.addEventListener("paused", end);
      player.play(rate, stretch);
    });
    const paused = await player.pause();
    return { seen, paused, number: readNumber(), current: player.current };
  },

  async duplicates(stopAfter = Infinity) {
    const stop = new AbortController();
    const progress = [];
    try {
      const frames = await player.findDuplicates({
        signal: stop.signal,
        onProgress: (done, of) => {
          progress.push([done, of]);
          if (done >= stopAfter) stop.abort();
        },
      });
      return { frames, progress };
    } catch (trouble) {
      return { stopped: trouble.name, trouble: { ...trouble }, progress };
    }
  },

  /** Milliseconds that each step took, from the call to the drawn picture, with pauses as a hand makes them. */
  async time({ start, steps, pause_ms }) {
    if (start !== null) {
      await player.show(start);
      await wait(500);
    }
    const taken_ms = [];
    for (const frames of steps) {
      const began = performance.now();
      const { outcome } = await player.step(frames);
      const taken = performance.now() - began;
      if (outcome === "shown") taken_ms.push(taken);
      if (taken < pause_ms) await wait(pause_ms - taken);
    }
    return taken_ms;
  },

  /** Steps when the neighbours are ready; what was seen, and how far it is from the same frame out of the ring. */
  async stepRested(steps) {
    const pixels = () => {
      readNumber();
      return reading.getContext("2d").getImageData(0, 0, reading.width, reading.height).data;
    };
    const seen = [];
    for (const step of steps) {
      const frame = player.current.frame + step;
      for (let tries = 0; tries < 40 && player.ready.get(frame) === null; tries += 1) await wait(10);
      const wasReady = player.ready.get(frame) !== null;
      const { proof } = await player.step(step);
      seen.push({ frame, wasReady, proof, number: readNumber(), pixels: pixels() });
    }
    const stood = player.current.frame;
    for (const found of seen) {
      // Far away and back: nothing is ready there.
      await player.show(found.frame + 15 < player.frameCount ? found.frame + 15 : 0);
      await player.show(found.frame);
      const again = pixels();
      found.mostDifferent = found.pixels.reduce((most, value, index) => Math.max(most, Math.abs(value - again[index])), 0);
      delete found.pixels;
    }
    await player.show(stood);
    for (let tries = 0; tries < 40 && player.ready.get(stood + 1) === null; tries += 1) await wait(10);
    return seen;
  },

  /** Does something with the player itself. */
  with(use) {
    return use(player);
  },

  takeEvents() {
    return events.splice(0);
  },

  close() {
    player?.close();
    player = null;
  },
};

window.page = page;

Object.assign(page, {
  /** Marks frames of the open clip in a new session; the session's file and the numbers that were seen. */
  async markFrames(frames) {
    await initialise({ module_or_path: new URL("/wasm/page_bg.wasm", import.meta.url) });
    const sitting = Sitting.create("a-session-for-a-test", "2026-01-31");
    const { facts } = player;
    const record = {
      label: "", capture_rate_fps: facts.capture_rate_fps, filmed_rate_fps: null, view: null, kick: null, aids: [],
      speed: null, notes: "", duplicated_frames: null,
    };
    for (const field of ["name", "size_bytes", "fingerprint", "container", "codec", "width", "height", "rotation_deg", "timescale", "frame_times"]) {
      record[field] = facts[field];
    }
    sitting.apply({ command: "add_clip", clip: record });
    const clip = sitting.session_view().clips[0].id;
    const numbers = [];
    for (const frame of frames) {
      await player.show(frame);
      numbers.push(readNumber());
      const { ticks, proof } = player.current;
      sitting.apply({ command: "add_mark", clip, kind: "entry", side: "left", time: ticks, proof });
    }
    return { session: Array.from(sitting.to_file()), numbers };
  },

  /** The numbers of the frames that a session's marks stand on, in the order of time. */
  async readMarks(session) {
    await initialise({ module_or_path: new URL("/wasm/page_bg.wasm", import.meta.url) });
    const sitting = Sitting.open_file(Uint8Array.from(session), "a test's session");
    const { marks } = sitting.marking_view(sitting.session_view().clips[0].id);
    const numbers = [];
    for (const { time } of marks.sort((one, other) => one.time - other.time)) {
      const frame = player.frameAt(time);
      if (player.ticksOf(frame) !== time) throw new Error(`no frame starts at ${time}`);
      await player.show(frame);
      numbers.push(readNumber());
    }
    return numbers;
  },
});

let steps = [];

Object.assign(page, {
  /** Puts the picture into a stage of that size, as if it had just been opened. */
  layPicture(width, height) {
    const stage = document.getElementById("stage");
    Object.assign(stage.style, { width: `${width}px`, height: `${height}px` });
    page.picture?.remove();
    page.picture = new Picture(stage, canvas);
    steps = [];
    page.picture.addEventListener("step", ({ detail }) => steps.push(detail));
  },

  /** Where the picture lies, from the stage's corner. */
  pictureBox() {
    const outer = document.getElementById("stage").getBoundingClientRect();
    const { left, top, width, height } = canvas.getBoundingClientRect();
    return { left: left - outer.left, top: top - outer.top, width, height };
  },

  takeSteps() {
    return steps.splice(0);
  },

  /** Opens a clip with the bytes of some frames overwritten. */
  async openDamaged(bytes, frames, method = "decoder") {
    const data = Uint8Array.from(bytes);
    const whole = new File([data], "whole.mp4");
    const ranges = await new Promise((resolve, reject) => {
      const worker = new Worker(new URL("./ranges-worker.js", import.meta.url), { type: "module" });
      worker.onmessage = (event) => resolve(event.data);
      worker.onerror = (event) => reject(new Error(event.message));
      worker.postMessage(whole);
    });
    // The length before each unit stays, so that the damage is inside the picture.
    for (const frame of frames) data.fill(0xff, ranges[frame].offset + 4, ranges[frame].offset + ranges[frame].size);
    return page.openFile(new File([data], "damaged.mp4"), { method });
  },
});
