// How long until the page can be used: a profile that has never seen it, a cold cache, over loopback. From the start
// of the navigation until "Open the demo" can be pressed, and until a press is answered (the demo is on its way). Reports; asserts nothing about time.

import { readFile, readdir } from "node:fs/promises";
import path from "node:path";
import { gzipSync } from "node:zlib";
import { SITE, launchChromium, newPage, startSite } from "./harness.mjs";
import { quantile } from "./quantile.mjs";

const RUNS = 9;
const WANTED_MS = 1500;
const WANTED_WASM_KIB = 500;


const site = await startSite();
/** @type {{usable_ms: number, answered_ms: number}[]} */
const loads = [];
const troubles = [];
let requests = 0;
for (let run = 0; run < RUNS; run += 1) {
  const { context, close } = await launchChromium();
  const { page, troubles: met } = await newPage(context);
  // Watches from before the page's own code runs; times count from the start of the navigation.
  await page.addInitScript(() => {
    const noted = /** @type {any} */ (window).loadNoted = { usable_ms: 0, answered_ms: 0 };
    const look = () => {
      const button = document.querySelector('[data-action="demo"]');
      if (!noted.usable_ms && button instanceof HTMLButtonElement && !button.disabled) {
        noted.usable_ms = performance.now();
        queueMicrotask(() => button.click());
      } else if (noted.usable_ms && !noted.answered_ms && (!button?.isConnected || /** @type {HTMLButtonElement} */ (button).disabled || document.querySelector('[aria-busy="true"], progress'))) {
        noted.answered_ms = performance.now();
      }
    };
    new MutationObserver(look).observe(document, { subtree: true, childList: true, attributes: true });
  });
  site.requests.length = 0;
  await page.goto(site.address);
  await page.waitForFunction(() => /** @type {any} */ (window).loadNoted.answered_ms > 0);
  loads.push(await page.evaluate(() => /** @type {any} */ (window).loadNoted));
  requests = site.requests.filter(({ url }) => !url.includes("demo/")).length;
  troubles.push(...met);
  await close();
}
await site.close();

const report = (/** @type {string} */ name, /** @type {number[]} */ values) => console.log(`${name}: median ${quantile(values, 0.5).toFixed(0)} ms, most ${Math.max(...values).toFixed(0)} ms, n ${values.length}`);
report("page usable (“Open the demo” can be pressed)", loads.map((load) => load.usable_ms));
report("a press answered", loads.map((load) => load.answered_ms));
console.log(`usable ${(WANTED_MS / quantile(loads.map((load) => load.usable_ms), 0.5)).toFixed(1)} times within ${WANTED_MS} ms; ${requests} requests`);

const wasm = await readFile(path.join(SITE, "wasm/page_bg.wasm"));
const zipped_kib = gzipSync(wasm, { level: 9 }).length / 1024;
console.log(`wasm ${(wasm.length / 1024).toFixed(0)} KiB, ${zipped_kib.toFixed(0)} KiB after gzip, ${(WANTED_WASM_KIB / zipped_kib).toFixed(2)} times within ${WANTED_WASM_KIB} KiB`);
for (const [name, bytes] of await sizes(SITE)) console.log(`  ${(bytes / 1024).toFixed(0).padStart(6)} KiB after gzip: ${name}`);
if (troubles.length > 0) console.error(troubles);

/** What the page's own files come to, by kind. @param {string} folder @returns {Promise<[string, number][]>} */
async function sizes(folder) {
  /** @type {Map<string, number>} */
  const sums = new Map();
  for (const entry of await readdir(folder, { recursive: true, withFileTypes: true })) {
    if (!entry.isFile() || entry.parentPath.includes("demo")) continue;
    const kind = path.extname(entry.name);
    const bytes = await readFile(path.join(entry.parentPath, entry.name));
    sums.set(kind, (sums.get(kind) ?? 0) + gzipSync(bytes).length);
  }
  return [...sums].sort(([, one], [, other]) => other - one);
}
