// Takes the README's picture (demo/page.png) and, into the output folder, every view with the demo fully marked:
// both sizes, both themes. Not a test; run it after the page's looks or the demo changed, and look at the result.

import { mkdir } from "node:fs/promises";
import path from "node:path";
import { OUTPUT, ROOT, launchChromium, newPage, startSite } from "./harness.mjs";
import { Coach, openDemo, truthOf } from "./marks-coach.mjs";

const site = await startSite();
const { context, close } = await launchChromium();
const { page, troubles } = await newPage(context);
await mkdir(OUTPUT, { recursive: true });
await openDemo(page, site.address);

const coach = new Coach(page);
const truth = await truthOf("before");
const { BINDINGS } = await page.evaluate(() => import("./marks/keys.js").then(({ BINDINGS }) => ({ BINDINGS })));
await coach.press("KeyH"); // the guided pass rests while marks are made freely
for (const event of truth.events) {
  const binding = BINDINGS.find(({ mark }) => mark && mark.kind === event.kind && mark.side === event.side);
  if (!binding || event.kind === "downbeat") continue;
  await coach.typeFrame(event.frame);
  await page.keyboard.press(binding.chord);
}
await coach.press("Escape");
await coach.press("KeyH");
const breath = truth.events.filter((event) => event.kind === "mouth_clear")[1].frame;
await coach.typeFrame(breath + 6);

/** @param {string} file */
async function picture(file) {
  await page.evaluate(() => new Promise((drawn) => requestAnimationFrame(() => requestAnimationFrame(drawn))));
  await page.screenshot({ path: file });
}

await picture(path.join(ROOT, "demo/page.png"));
for (const view of ["marks", "numbers"]) {
  if (view === "numbers") {
    await page.locator("nav a, header a").filter({ hasText: "Numbers" }).first().click();
    await page.locator("svg.wheel, .numbers-wheel svg, svg[role=img]").first().waitFor();
  }
  for (const [size, width, height] of [["desk", 1366, 768], ["phone", 390, 844]]) {
    await page.setViewportSize({ width: Number(width), height: Number(height) });
    for (const theme of ["light", "dark"]) {
      await page.evaluate((name) => { document.documentElement.dataset.theme = name; }, theme);
      await picture(path.join(OUTPUT, `marked-${view}-${size}-${theme}.png`));
    }
    await page.evaluate(() => { document.documentElement.dataset.theme = "light"; });
  }
  await page.setViewportSize({ width: 1366, height: 768 });
}
for (const trouble of troubles) console.error(trouble);
await close();
await site.close();
if (troubles.length > 0) process.exitCode = 1;
