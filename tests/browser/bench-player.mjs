// How long a step takes at 1080p, by decoder and by the video element, and whether memory stays flat.
//
//     node tests/browser/bench-player.mjs            # or: cargo xtask bench browser
//
// Not a test: numbers of this machine, printed and written to tests/browser/output/bench-player.json. The
// clip is made on the fly: 20 s, 30 frames/s, a keyframe every 60 frames, B-frames, noise as a camera has it.

import { execFileSync } from "node:child_process";
import { existsSync } from "node:fs";
import { mkdir, readdir, readFile, writeFile } from "node:fs/promises";
import path from "node:path";
import { launchChromium, newPage, OUTPUT, startSite } from "./harness.mjs";

const CLIP = path.join(OUTPUT, "bench-1080p.mp4");
const FRAMES = 600;
const MEMORY_STEPS = 5000;
/** One frame of a 60 Hz screen. */
const BUDGET_MS = 1000 / 60;

await mkdir(OUTPUT, { recursive: true });
if (!existsSync(CLIP)) {
  execFileSync("ffmpeg", ["-v", "error", "-f", "lavfi", "-i", `testsrc2=size=1920x1080:rate=30:duration=${FRAMES / 30}`,
    "-vf", "noise=alls=8:allf=t", "-c:v", "libx264", "-preset", "fast", "-crf", "24", "-g", "60", "-pix_fmt", "yuv420p", CLIP]);
}

const site = await startSite();
const browser = await launchChromium();
const { page, troubles } = await newPage(browser.context);
await page.goto(`${site.address}tests/browser/pages/player.html`);
await page.waitForFunction(() => "page" in window);

/** @type {Record<string, {median_ms: number, p95_ms: number, most_ms: number, steps: number}>} */
const latencies = {};

async function open(method) {
  await page.setInputFiles("#file", CLIP);
  const opened = await page.evaluate((how) => window.page.openChosen({ method: how }), method);
  if (opened.trouble) throw new Error(opened.trouble.message);
}

/** Times steps with a pause between them, as a hand on a key has it; each from the call to the drawn picture. */
async function time(name, plan) {
  const taken_ms = await page.evaluate((given) => window.page.time(given), plan);
  const sorted = taken_ms.sort((one, other) => one - other);
  const at = (share) => Number(sorted[Math.min(sorted.length - 1, Math.floor(share * sorted.length))].toFixed(1));
  latencies[name] = { median_ms: at(0.5), p95_ms: at(0.95), most_ms: at(1), steps: sorted.length };
}

await open("decoder");
await time("decoder, to and fro inside the ring", { start: 100, steps: Array(200).fill([1, 1, -1, -1]).flat().slice(0, 200), pause_ms: 33 });
await time("decoder, forward, 30 steps a second", { start: 0, steps: Array(300).fill(1), pause_ms: 33 });
await time("decoder, backward, 30 steps a second", { start: 400, steps: Array(300).fill(-1), pause_ms: 33 });
await time("decoder, ten forward", { start: 0, steps: Array(50).fill(10), pause_ms: 100 });
await time("decoder, ten backward", { start: 599, steps: Array(50).fill(-10), pause_ms: 100 });
await time("decoder, anywhere", { start: 0, steps: Array.from({ length: 40 }, (_, step) => (step % 2 === 0 ? 293 : -211)), pause_ms: 100 });

await open("element");
await time("element, forward", { start: 0, steps: Array(90).fill(1), pause_ms: 0 });
await time("element, backward", { start: 300, steps: Array(90).fill(-1), pause_ms: 0 });

await open("decoder");
const memory = [];
for (let done = 0; done < MEMORY_STEPS; done += 500) {
  await page.evaluate((steps) => window.page.time({ start: null, steps, pause_ms: 0 }),
    Array.from({ length: 500 }, (_, step) => (Math.floor((done + step) / 450) % 2 === 0 ? 1 : -1)));
  memory.push({ steps: done + 500, ...await residentMebibytes(browser.profile) });
}

const ring = latencies["decoder, to and fro inside the ring"];
console.table(latencies);
console.table(memory);
console.log(`a step inside the ring, 95th percentile: ${ring.p95_ms} ms, ${(BUDGET_MS / ring.p95_ms).toFixed(1)} times within one 60 Hz frame (${BUDGET_MS.toFixed(1)} ms)`);
const total = ({ private_mib, shared_mib }) => private_mib + shared_mib;
const [first, last] = [total(memory[1]), total(memory[memory.length - 1])];
console.log(`memory from step ${memory[1].steps} to ${MEMORY_STEPS}: ${first} to ${last} MiB (${((last / first - 1) * 100).toFixed(1)} %)`);
await writeFile(path.join(OUTPUT, "bench-player.json"), JSON.stringify({ clip: "1080p, 30 frames/s, groups of 60", latencies, memory }, null, 1));
if (troubles.length > 0) console.error(troubles);
await browser.close();
await site.close();

/**
 * What all processes of the browser hold in memory. Shared: without a graphics card the canvas' pictures on
 * their way to the screen are among it.
 *
 * @param {string} profile
 */
async function residentMebibytes(profile) {
  /** @type {Map<number, {parent: number, private_kib: number, shared_kib: number, isRoot: boolean}>} */
  const processes = new Map();
  for (const entry of await readdir("/proc")) {
    if (!/^\d+$/.test(entry)) continue;
    try {
      const [status, command] = await Promise.all([readFile(`/proc/${entry}/status`, "utf8"), readFile(`/proc/${entry}/cmdline`, "utf8")]);
      const field = (name) => Number(new RegExp(`^${name}:\\s+(\\d+)`, "m").exec(status)?.[1] ?? 0);
      processes.set(Number(entry), {
        parent: field("PPid"), private_kib: field("RssAnon"), shared_kib: field("RssShmem"), isRoot: command.includes(profile),
      });
    } catch (error) {
      // A process may end while we look at it.
      if (error.code !== "ENOENT" && error.code !== "ESRCH") throw error;
    }
  }
  const belongs = (pid) => {
    const found = processes.get(pid);
    return found !== undefined && (found.isRoot || belongs(found.parent));
  };
  const ours = [...processes].filter(([pid]) => belongs(pid)).map(([, found]) => found);
  return {
    private_mib: Math.round(ours.reduce((sum, { private_kib }) => sum + private_kib, 0) / 1024),
    shared_mib: Math.round(ours.reduce((sum, { shared_kib }) => sum + shared_kib, 0) / 1024),
  };
}
