// Tracking ten points and summing differences, in wasm in the browser: ours, the crate we began with, and OpenCV's
// browser build, in turn in one run. Prints medians and ratios of medians; asserts nothing about time, but that
// results are equal where they must be.
//
// Frames are sums of plane waves with camera noise, so that every shift is known exactly.

import { spawnSync } from "node:child_process";
import { readFile } from "node:fs/promises";
import path from "node:path";

import { ROOT, launchChromium, newPage } from "./harness.mjs";
import { quantile } from "./quantile.mjs";

const ROUNDS = Number(process.env.WETFRAME_ROUNDS ?? 60);
const OPENCV = path.join(ROOT, "tests/browser/node_modules/@techstark/opencv-js/dist/opencv.js");

const module = await readFile(build());
const { context, close } = await launchChromium();
const { page, troubles } = await newPage(context);
try {
  await page.addScriptTag({ path: OPENCV });
  const result = await page.evaluate(measure, { module: module.toString("base64"), rounds: ROUNDS });
  console.log(`Chromium ${context.browser()?.version() ?? ""}; OpenCV ${result.openCv}; ${ROUNDS} rounds in turn`);
  for (const { title, times } of result.timed) reportTimes(title, times);
  for (const { title, errors } of result.wrong) reportErrors(title, errors);
  if (troubles.length > 0) throw new Error(troubles.join("\n"));
} finally {
  await close();
}

/** Builds the bench module, with the vectors that the baseline crate has to be compiled with; gives its place. */
function build() {
  const folder = path.join(ROOT, "target/bench-vision");
  const cargo = spawnSync("cargo", [
    "build", "--quiet", "--profile", "page", "-p", "wetframe-vision", "--example", "bench_in_wasm",
    "--target", "wasm32-unknown-unknown",
  ], {
    cwd: ROOT, stdio: "inherit",
    env: { ...process.env, CARGO_TARGET_DIR: folder, RUSTFLAGS: "-C target-feature=+simd128" },
  });
  if (cargo.status !== 0) throw new Error("the bench module could not be built");
  return path.join(folder, "wasm32-unknown-unknown/page/examples/bench_in_wasm.wasm");
}

/** Each against the first. @param {string} title @param {Record<string, number[]>} times milliseconds a step */
function reportTimes(title, times) {
  console.log(`\n${title}`);
  const [first] = Object.values(times);
  for (const [name, values] of Object.entries(times)) {
    const ratio = quantile(values, 0.5) / quantile(first, 0.5);
    const [least, low, middle, high] = [0, 0.1, 0.5, 0.9].map((share) => quantile(values, share).toFixed(3));
    console.log(`  ${name.padEnd(32)} median ${middle} ms (10–90 %: ${low}–${high}, fastest ${least}), ${ratio.toFixed(2)} times the first`);
  }
}

/** @param {string} title @param {Record<string, number[]>} errors pixels */
function reportErrors(title, errors) {
  console.log(`\n${title}`);
  for (const [name, away] of Object.entries(errors)) {
    console.log(`  ${name.padEnd(32)} median ${quantile(away, 0.5).toFixed(4)} px, 95 % ${quantile(away, 0.95).toFixed(4)} px (${away.length} steps)`);
  }
}

/** Runs in the page. @param {{module: string, rounds: number}} how */
async function measure({ module, rounds }) {
  const SHIFT = [3.37, -2.61];
  const WINDOW = 21;
  const bytes = Uint8Array.from(atob(module), (letter) => letter.charCodeAt(0));
  const { instance } = await WebAssembly.instantiate(bytes, {});
  const wasm = /** @type {any} */ (instance.exports);
  // @ts-ignore what the script defines
  const cv = await window.cv;

  /** Even numbers from 0 to 1, the same in every run. @param {number} seed */
  const generator = (seed) => () => {
    seed = (Math.imul(seed, 1664525) + 1013904223) >>> 0;
    return seed / 2 ** 32;
  };

  /** Waves of 5 to 80 pixels in every direction, moved by `shift`. @param {number} width @param {number} height @param {number[]} shift @param {number} noiseSeed */
  const picture = (width, height, shift, noiseSeed) => {
    const even = generator(7);
    const waves = Array.from({ length: 28 }, () => {
      const turn = even() * Math.PI;
      const length = 5 * 16 ** even();
      const pace = (2 * Math.PI) / length;
      return { x: pace * Math.cos(turn), y: pace * Math.sin(turn), phase: even() * 2 * Math.PI, height: 4 + length / 8 };
    });
    const noise = generator(noiseSeed);
    const pixels = new Uint8Array(width * height);
    const row = new Float64Array(width);
    for (let y = 0; y < height; y += 1) {
      row.fill(118);
      for (const wave of waves) {
        const start = wave.phase - wave.x * shift[0] + wave.y * (y - shift[1]);
        // Turning a unit vector costs less than a sine for every pixel.
        let [re, im] = [Math.cos(start), Math.sin(start)];
        const [stepRe, stepIm] = [Math.cos(wave.x), Math.sin(wave.x)];
        for (let x = 0; x < width; x += 1) {
          row[x] += wave.height * im;
          [re, im] = [re * stepRe - im * stepIm, re * stepIm + im * stepRe];
        }
      }
      for (let x = 0; x < width; x += 1) {
        // Standard deviation 0.7 grey levels.
        const grain = (noise() + noise() + noise() - 1.5) * 1.4;
        pixels[y * width + x] = Math.max(0, Math.min(255, Math.round(row[x] + grain)));
      }
    }
    return pixels;
  };

  /** Every contender in turn; milliseconds for one step of each. @param {[string, number, () => void][]} contenders name, steps a run, run */
  const interleaved = (contenders) => {
    /** @type {Record<string, number[]>} */
    const times = Object.fromEntries(contenders.map(([name]) => [name, []]));
    for (let round = -8; round < rounds; round += 1) {
      for (const [name, steps, run] of contenders) {
        const started = performance.now();
        run();
        const elapsed = (performance.now() - started) / steps;
        if (round >= 0) times[name].push(elapsed);
      }
    }
    return times;
  };

  const timed = [];
  const wrong = [];
  for (const [width, height] of [[1280, 720], [1920, 1080]]) {
    const size = `${width}×${height}`;
    const frames = [picture(width, height, [0, 0], 1), picture(width, height, SHIFT, 2)];
    const even = generator(11);
    /** Ten places in both frames, as flat numbers. */
    const tenPoints = () => {
      const first = Array.from({ length: 10 }, () => [60 + even() * (width - 120), 60 + even() * (height - 120)]);
      return [first.flat(), first.flatMap(([x, y]) => [x + SHIFT[0], y + SHIFT[1]])];
    };
    wasm.begin(width, height);
    frames.forEach((frame, index) => new Uint8Array(wasm.memory.buffer, wasm.frame(index), frame.length).set(frame));
    /** @param {number[][]} pair */
    const place = (pair) => pair.forEach((flat, index) => {
      new Float64Array(wasm.memory.buffer, wasm.points(index), 20).set(flat);
      starts[index].data32F.set(flat);
    });
    const starts = [0, 1].map(() => new cv.Mat(10, 1, cv.CV_32FC2));
    place(tenPoints());
    wasm.ready();

    const mats = frames.map((frame) => cv.matFromArray(height, width, cv.CV_8UC1, frame));
    const [ends, status, residuals] = [new cv.Mat(), new cv.Mat(), new cv.Mat()];
    const window = new cv.Size(WINDOW, WINDOW);
    const criteria = new cv.TermCriteria(cv.TERM_CRITERIA_EPS | cv.TERM_CRITERIA_COUNT, 30, 0.01);
    const openCv = () => {
      for (const from of [0, 1]) {
        cv.calcOpticalFlowPyrLK(mats[from], mats[1 - from], starts[from], ends, status, residuals, window, 2, criteria);
      }
    };
    timed.push({
      title: `Ten points, ${WINDOW}×${WINDOW}, 3 levels, 30 iterations or 0.01 px, ${size}`,
      times: interleaved([
        ["ours", 40, () => wasm.track(20, 0)],
        ["ours, with the way back", 40, () => wasm.track(20, 1)],
        ["optical-flow-lk 0.6.0", 8, () => wasm.track_baseline(4)],
        ["OpenCV", 2, openCv],
      ]),
    });

    /** @type {Record<string, number[]>} */
    const errors = { ours: [], "optical-flow-lk 0.6.0": [], OpenCV: [] };
    for (let set = 0; set < 30; set += 1) {
      const pair = tenPoints();
      place(pair);
      /** The last step goes back to the first frame. @param {string} name @param {ArrayLike<number>} found */
      const note = (name, found) => {
        const off = pair[0].map((value, index) => found[index] - value);
        for (let index = 0; index < 20; index += 2) errors[name].push(Math.hypot(off[index], off[index + 1]));
      };
      wasm.track(1, 0);
      note("ours", new Float64Array(wasm.memory.buffer, wasm.found(), 20));
      wasm.track_baseline(1);
      note("optical-flow-lk 0.6.0", new Float64Array(wasm.memory.buffer, wasm.found(), 20));
      openCv();
      note("OpenCV", ends.data32F);
    }
    wrong.push({ title: `Step error against the true motion, ${size}`, errors });

    const bySum = () => cv.norm1(mats[0], mats[1], cv.NORM_L1);
    if (wasm.absolute_difference(1, 0) !== bySum()) throw new Error("the sums of absolute differences are not equal");
    timed.push({
      title: `Sum of absolute differences, ${size}`,
      times: interleaved([
        ["ours", 60, () => wasm.absolute_difference(60, 0)],
        ["ours, plain loops", 15, () => wasm.absolute_difference(15, 1)],
        ["OpenCV", 4, () => { for (let time = 0; time < 4; time += 1) bySum(); }],
      ]),
    });
    timed.push({
      title: `What else a frame of ${size} costs`,
      times: interleaved([
        ["motion, cuts and interlacing", 30, () => wasm.motion(30)],
        ["all clarity filters", 1, () => wasm.clearer(1)],
      ]),
    });
    for (const mat of [...mats, ...starts, ends, status, residuals]) mat.delete();
  }
  return { openCv: /OpenCV (\S+)/.exec(cv.getBuildInformation())?.[1] ?? "", timed, wrong };
}
