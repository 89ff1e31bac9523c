// Takes the README's picture of the comparison (demo/compare.png) from the demo's worked comparison and, into the output
// folder, the same at both sizes in both themes. Not a test; run it after the comparison's looks or the demo changed,
// and look at the result.

import { mkdir } from "node:fs/promises";
import path from "node:path";
import { OUTPUT, ROOT, launchChromium, newPage, startSite } from "./harness.mjs";

const site = await startSite();
const { context, close } = await launchChromium();
const { page, troubles } = await newPage(context);
await mkdir(OUTPUT, { recursive: true });
await page.goto(site.address);
await page.click('[data-action="worked-demo"]:not([disabled])');
await page.locator(".compare-board").waitFor();
await page.locator('.way[href^="#clips"] .way-state').filter({ hasText: /^2 clips$/ }).waitFor(); // both files are back

/** @param {string} file @param {boolean} [whole] */
async function picture(file, whole = false) {
  await page.evaluate(() => new Promise((drawn) => requestAnimationFrame(() => requestAnimationFrame(drawn))));
  await page.screenshot({ path: file, fullPage: whole });
}

await page.setViewportSize({ width: 1366, height: 900 });
await picture(path.join(ROOT, "demo/compare.png"));
for (const [size, width, height] of [["desk", 1366, 768], ["phone", 390, 844]]) {
  await page.setViewportSize({ width: Number(width), height: Number(height) });
  for (const theme of ["light", "dark"]) {
    await page.evaluate((name) => { document.documentElement.dataset.theme = name; }, theme);
    await picture(path.join(OUTPUT, `worked-comparison-${size}-${theme}.png`), true);
  }
}
for (const trouble of troubles) console.error(trouble);
await close();
await site.close();
if (troubles.length > 0) process.exitCode = 1;
