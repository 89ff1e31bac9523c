// Tracking ten points and summing differences, in wasm: ours, the crate we began with, and OpenCV's browser build,
// in turn in one run. Prints medians and ratios of medians; asserts nothing about time.
//
// Node runs the same engine as Chromium. Frames are sums of plane waves, so that every shift is known exactly.

import { spawnSync } from 'node:child_process';
import { readFile } from 'node:fs/promises';
import { createRequire } from 'node:module';
import { fileURLToPath } from 'node:url';

const root = fileURLToPath(new URL('../..', import.meta.url));
const ROUNDS = Number(process.env.WETFRAME_ROUNDS ?? 60);
const WINDOW = 21;
const SIZES = [
  [1280, 720],
  [1920, 1080],
];
const SHIFT = [3.37, -2.61];

/** Builds the bench module with the vectors that the baseline crate has to be compiled with. */
function build() {
  const folder = `${root}target/bench-vision`;
  const cargo = spawnSync(
    'cargo',
    ['build', '--quiet', '--profile', 'page', '-p', 'wetframe-vision', '--example', 'bench_in_wasm', '--target', 'wasm32-unknown-unknown'],
    { cwd: root, stdio: 'inherit', env: { ...process.env, CARGO_TARGET_DIR: folder, RUSTFLAGS: '-C target-feature=+simd128' } },
  );
  if (cargo.status !== 0) throw new Error('the bench module could not be built');
  return `${folder}/wasm32-unknown-unknown/page/examples/bench_in_wasm.wasm`;
}

/** Even numbers from 0 to 1, the same in every run. */
function generator(seed) {
  let state = seed >>> 0;
  return () => {
    state = (Math.imul(state, 1664525) + 1013904223) >>> 0;
    return state / 2 ** 32;
  };
}

/** A picture of waves of 5 to 80 pixels in every direction, moved by `shift`, with camera noise. */
function picture(width, height, shift, noiseSeed) {
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
}

const quantile = (values, share) => {
  const sorted = values.toSorted((a, b) => a - b);
  return sorted[Math.min(sorted.length - 1, Math.floor(sorted.length * share))];
};
const median = (values) => quantile(values, 0.5);

/** Runs every contender in turn, `ROUNDS` times; milliseconds for one step of each. */
function interleaved(contenders) {
  const times = new Map(contenders.map(({ name }) => [name, []]));
  for (let round = -5; round < ROUNDS; round += 1) {
    for (const { name, steps, run } of contenders) {
      const started = performance.now();
      run();
      const elapsed = (performance.now() - started) / steps;
      if (round >= 0) times.get(name).push(elapsed);
    }
  }
  return times;
}

function report(title, times, base) {
  console.log(`\n${title}`);
  const reference = median(times.get(base));
  for (const [name, values] of times) {
    const middle = median(values);
    const spread = `${quantile(values, 0.1).toFixed(3)}–${quantile(values, 0.9).toFixed(3)}`;
    console.log(`  ${name.padEnd(34)} ${middle.toFixed(3).padStart(8)} ms  (10–90 %: ${spread})  ×${(middle / reference).toFixed(2)}`);
  }
}

const { instance } = await WebAssembly.instantiate(await readFile(build()), {});
const wasm = /** @type {any} */ (instance.exports);
const cv = await createRequire(import.meta.url)('@techstark/opencv-js');
console.log(`Node ${process.version} (V8 ${process.versions.v8}); OpenCV ${/OpenCV (\S+)/.exec(cv.getBuildInformation())?.[1]}; ${ROUNDS} rounds`);

for (const [width, height] of SIZES) {
  const frames = [picture(width, height, [0, 0], 1), picture(width, height, SHIFT, 2)];
  const even = generator(11);
  /** Ten places in both frames, as flat numbers. */
  const tenPoints = () => {
    const first = Array.from({ length: 10 }, () => [60 + even() * (width - 120), 60 + even() * (height - 120)]);
    return [first.flat(), first.flatMap(([x, y]) => [x + SHIFT[0], y + SHIFT[1]])];
  };
  const points = tenPoints();

  wasm.begin(width, height);
  frames.forEach((frame, index) => new Uint8Array(wasm.memory.buffer, wasm.frame(index), frame.length).set(frame));
  const place = (pair) => pair.forEach((flat, index) => new Float64Array(wasm.memory.buffer, wasm.points(index), 20).set(flat));
  place(points);
  wasm.ready();

  const mats = frames.map((frame) => cv.matFromArray(height, width, cv.CV_8UC1, frame));
  const starts = points.map((flat) => cv.matFromArray(10, 1, cv.CV_32FC2, flat));
  const [ends, status, residuals] = [new cv.Mat(), new cv.Mat(), new cv.Mat()];
  const window = new cv.Size(WINDOW, WINDOW);
  const criteria = new cv.TermCriteria(cv.TERM_CRITERIA_EPS | cv.TERM_CRITERIA_COUNT, 30, 0.01);
  const openCv = () => {
    for (const from of [0, 1]) {
      cv.calcOpticalFlowPyrLK(mats[from], mats[1 - from], starts[from], ends, status, residuals, window, 2, criteria);
    }
  };

  const contenders = [
    { name: 'ours', steps: 20, run: () => wasm.track(10, 0) },
    { name: 'ours, with the way back', steps: 20, run: () => wasm.track(10, 1) },
    { name: 'optical-flow-lk 0.6.0', steps: 4, run: () => wasm.track_baseline(2) },
    { name: 'OpenCV in the browser', steps: 2, run: openCv },
  ];
  report(`Ten points, ${WINDOW}×${WINDOW}, 3 levels, ${width}×${height}`, interleaved(contenders), 'ours');

  /** How far from the truth the way back from the second frame to the first ends, pixels. */
  const errors = new Map([['ours', []], ['optical-flow-lk 0.6.0', []], ['OpenCV in the browser', []]]);
  for (let set = 0; set < 30; set += 1) {
    const pair = tenPoints();
    place(pair);
    pair.forEach((flat, index) => starts[index].data32F.set(flat));
    const note = (name, found) => {
      const off = pair[0].map((value, index) => found[index] - value);
      for (let index = 0; index < 20; index += 2) errors.get(name).push(Math.hypot(off[index], off[index + 1]));
    };
    wasm.track(1, 0);
    note('ours', new Float64Array(wasm.memory.buffer, wasm.found(), 20));
    wasm.track_baseline(1);
    note('optical-flow-lk 0.6.0', new Float64Array(wasm.memory.buffer, wasm.found(), 20));
    openCv();
    note('OpenCV in the browser', ends.data32F);
  }
  for (const [name, away] of errors) {
    console.log(`  step error of ${name}: median ${median(away).toFixed(4)} px, 95 % ${quantile(away, 0.95).toFixed(4)} px (${away.length} steps)`);
  }

  const sums = [
    { name: 'ours', steps: 10, run: () => wasm.absolute_difference(10, 0) },
    { name: 'ours, plain loops', steps: 4, run: () => wasm.absolute_difference(4, 1) },
    { name: 'OpenCV in the browser, norm L1', steps: 2, run: () => [cv.norm1(mats[0], mats[1], cv.NORM_L1), cv.norm1(mats[0], mats[1], cv.NORM_L1)] },
  ];
  const equal = wasm.absolute_difference(1, 0) === cv.norm1(mats[0], mats[1], cv.NORM_L1);
  if (!equal) throw new Error('the sums of absolute differences are not equal');
  report(`Sum of absolute differences, ${width}×${height}`, interleaved(sums), 'ours');

  const whole = [
    { name: 'motion, cuts and interlacing', steps: 10, run: () => wasm.motion(10) },
    { name: 'all clarity filters', steps: 1, run: () => wasm.clearer(1) },
  ];
  report(`What else a frame of ${width}×${height} costs`, interleaved(whole), 'motion, cuts and interlacing');
  for (const mat of [...mats, ...starts, ends, status, residuals]) mat.delete();
}
