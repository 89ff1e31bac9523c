// How long the page computes on a session of 5,000 marks: in the browser, in the module that ships.
//
// One run, interleaved: the analysis (every measure of the clip) after a mark was moved, and the views that
// the page fetches after a key. Medians and 95th percentiles; the sizes of the module beside them.

import { readFile } from "node:fs/promises";
import path from "node:path";
import { gzipSync } from "node:zlib";
import { SITE, launchChromium, newPage, startSite } from "./harness.mjs";
import { quantile } from "./quantile.mjs";

const MARKS = 5000;
const RUNS = 60;

const site = await startSite();
const { context, close } = await launchChromium();
const { page, troubles } = await newPage(context);
await page.goto(site.address);

const times = await page.evaluate(async ({ marks, runs }) => {
  const { default: load, Sitting } = await import("./wasm/page.js");
  await load();
  const sitting = Sitting.create("bench", "2026-11-20");
  // 60 frames/s; a cycle of 72 frames, right arm half a cycle later, every event off by up to a frame.
  const cycles = marks / 8;
  sitting.apply({
    command: "add_clip",
    clip: {
      name: "bench.mp4", size_bytes: 1, fingerprint: "0", container: "mp4", codec: "avc1.64001F", width: 1280, height: 720,
      rotation_deg: 0, timescale: 600, frame_times: { first: 0, runs: [[cycles * 72 + 120, 10]] }, capture_rate_fps: null,
    },
  });
  const commands = [];
  for (let cycle = 0; cycle < cycles; cycle += 1) {
    for (const [side, offset] of [["left", 4], ["right", 40]]) {
      for (const [kind, frame] of [["entry", 0], ["catch", 22], ["mid_pull", 38], ["exit", 51]]) {
        const wobble = (cycle * 7 + frame * 3 + offset) % 3 - 1;
        commands.push({ command: "add_mark", clip: 1, kind, side, time: (cycle * 72 + offset + frame + wobble) * 10, proof: "decoded" });
      }
    }
  }
  const { new_marks } = sitting.apply({ command: "group", label: "bench", commands });
  const target = commands[commands.length / 2];
  const mark = new_marks[commands.length / 2];
  const samples = { move: [], analyse: [], hand_over: [], marking_view: [], session_view: [], measures: [] };
  const timed = (name, work) => {
    const start = performance.now();
    const result = work();
    samples[name].push(performance.now() - start);
    return result;
  };
  let count = 0;
  for (let run = 0; run < runs; run += 1) {
    timed("move", () => sitting.apply({ command: "move_mark", mark, time: target.time + 10 * (run % 2 === 0 ? 1 : 0), proof: "decoded" }));
    timed("analyse", () => sitting.now_view(1, 5_000));
    timed("hand_over", () => sitting.now_view(1, 5_000));
    timed("session_view", () => sitting.session_view());
    timed("marking_view", () => sitting.marking_view(1));
    count = timed("measures", () => sitting.measures(1)).length;
  }
  return { samples, count, marks: new_marks.length };
}, { marks: MARKS, runs: RUNS });

times.samples.computed = times.samples.analyse.map((together, run) => together - times.samples.hand_over[run]);
console.log(`analysis of ${times.marks} marks (${times.count} measures), ${RUNS} runs, ms: median, 95th percentile`);
for (const [name, label] of [
  ["move", "move one mark (command, validation, journal line)"],
  ["analyse", "every measure computed again, figures of one cycle handed over"],
  ["hand_over", "figures of one cycle handed over again, nothing computed"],
  ["computed", "every measure computed: the first less the second, run by run"],
  ["session_view", "session view"],
  ["marking_view", "marking view with all marks handed to the page"],
  ["measures", "every measure handed to the page (numbers view only)"],
]) {
  const values = times.samples[name];
  console.log(`  ${quantile(values, 0.5).toFixed(2).padStart(8)} ${quantile(values, 0.95).toFixed(2).padStart(8)}  ${label}`);
}
const wasm = await readFile(path.join(SITE, "wasm/page_bg.wasm"));
console.log(`wasm ${(wasm.length / 1024).toFixed(0)} KiB, ${(gzipSync(wasm, { level: 9 }).length / 1024).toFixed(0)} KiB after gzip`);
for (const trouble of troubles) console.log(`trouble: ${trouble}`);
await close();
await site.close();
