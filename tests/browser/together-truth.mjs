// The frames that two clips of the demo have to show together, by its known truth and without the page's arithmetic.
//
// An event is marked on the frame nearest to its true time; a phase lies on the straight line between the frames of
// the events around it; a clip shows the frame nearest to that place, the earlier of two equally near.

import { readFile } from "node:fs/promises";
import path from "node:path";
import { ROOT } from "./harness.mjs";

const KINDS = ["entry", "catch", "mid_pull", "exit"];

/** The demo's clips with the true times of their events. */
export async function demoClips() {
  return JSON.parse(await readFile(path.join(ROOT, "demo/truth.json"), "utf8")).clips;
}

/** An arm's whole cycles in frames: entry, catch, mid-pull, exit and the next entry, each on the frame nearest to it. */
export function cyclesOf(clip, side) {
  return trueCyclesOf(clip, side).map((cycle) => cycle.map((time) => Math.min(Math.round(time), clip.frame_count - 1)));
}

/** The same without a frame's rounding: true times, counted in frames. */
export function trueCyclesOf(clip, side) {
  const events = clip.events
    .filter((event) => event.side === side && KINDS.includes(event.kind))
    .map(({ kind, time_s }) => ({ kind, frame: time_s * clip.rate_fps }));
  const cycles = [];
  events.forEach(({ kind }, index) => {
    const next = events.slice(index, index + 5);
    if (kind === "entry" && next.length === 5 && next[4].kind === "entry") cycles.push(next.map(({ frame }) => frame));
  });
  return cycles;
}

/** Where a phase lies between the marked frames. */
export function exactFrame(cycle, u) {
  const node = Math.floor(u);
  return cycle[node] + (u - node) * (cycle[node + 1] - cycle[node]);
}

/** The nearest frame, the earlier of two equally near. */
export const nearest = (/** @type {number} */ exact) => Math.ceil(exact - 0.5 - 1e-9);

/** The phase of a frame of a cycle. */
export function phaseOf(cycle, frame) {
  const node = cycle.findLastIndex((event, index) => index < 4 && event <= frame);
  return node + (frame - cycle[node]) / (cycle[node + 1] - cycle[node]);
}
