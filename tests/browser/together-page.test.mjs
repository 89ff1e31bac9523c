// Two clips together in the page itself, as a coach comes to it: a session file of the demo with its marks, the clips
// chosen again, the pictures on a desk and on a phone, and back to marking.

import assert from "node:assert/strict";
import { mkdir } from "node:fs/promises";
import path from "node:path";
import { after, before, test } from "node:test";
import { axeViolations, launchChromium, newPage, OUTPUT, ROOT, startSite } from "./harness.mjs";
import { chooseThrough, withoutPickers } from "./sitting.mjs";

let site;
let browser;
let session;

before(async () => {
  await mkdir(OUTPUT, { recursive: true });
  site = await startSite();
  browser = await launchChromium({ hasTouch: true });
  await withoutPickers(browser.context);
  const { page } = await newPage(browser.context);
  await page.goto(`${site.address}tests/browser/pages/together.html`);
  await page.waitForSelector("body[data-ready]");
  session = Buffer.from(await page.evaluate(async () => {
    await window.togetherPage.add(0);
    await window.togetherPage.add(1);
    return Array.from(window.togetherPage.store.toFile());
  }));
  await page.close();
});

after(async () => {
  await browser?.close();
  await site?.close();
});

/** The session opened, its clips' files not at hand, the pictures shown. */
async function openPictures(viewport) {
  const { page, troubles } = await newPage(browser.context);
  await page.setViewportSize(viewport);
  await page.goto(site.address);
  await chooseThrough(page, '[data-action="open-session"]', { name: "demo.wetframe", mimeType: "application/json", buffer: session });
  await page.locator(".clip").first().waitFor();
  await page.click('.way[href^="#compare"]');
  await page.click('[data-face="pictures"]');
  await page.waitForSelector("[data-missing]");
  return { page, troubles };
}

/** Both frames on the screen, once they stand. */
async function frames(page) {
  await page.waitForFunction(() => [...document.querySelectorAll(".together-pane canvas[role=img]")].filter((canvas) => canvas.dataset.proof === "decoded").length === 2);
  return page.evaluate(() => [...document.querySelectorAll(".together-pane canvas[role=img]")].map((canvas) => Number(canvas.dataset.frame)));
}

/** Chooses both clips again where the view asks for them. */
async function chooseBoth(page) {
  for (const name of ["before", "after"]) {
    await chooseThrough(page, `[aria-label="${name}"] [data-action="choose-again"]`, path.join(ROOT, `demo/${name}.mp4`));
    await page.locator(`[aria-label="${name}"] [data-missing]`).waitFor({ state: "detached" });
  }
}

test("on a desk: the numbers' session without pictures, the clips chosen again, and back to marking", async () => {
  const { page, troubles } = await openPictures({ width: 1366, height: 768 });
  assert.equal(await page.locator("[data-missing]").count(), 2);
  await page.screenshot({ path: path.join(OUTPUT, "together-page-missing.png") });
  await chooseBoth(page);
  const start = await frames(page);
  for (let step = 0; step < 3; step += 1) await page.keyboard.press("ArrowRight");
  await page.waitForFunction((from) => [...document.querySelectorAll(".together-pane canvas[role=img]")].some((canvas, index) => Number(canvas.dataset.frame) === from[index] + 3), start);
  await page.keyboard.press("2");
  await page.waitForFunction(() => document.querySelector(".together-scrub").getAttribute("aria-valuetext").startsWith("Pull, 0 %"));
  await page.evaluate(() => document.fonts.ready);
  await page.screenshot({ path: path.join(OUTPUT, "together-page-1366.png") });
  assert.deepEqual(await axeViolations(page), []);
  // The scrubber and the steps are on the screen without scrolling.
  const steps = await page.locator(".together-steps").boundingBox();
  assert.ok(steps.y + steps.height <= 768, `${steps.y + steps.height}`);
  await page.click('.way[href^="#marks"]');
  await page.waitForFunction(() => document.querySelector(".marks-stage:not(.marks-stage-empty)") !== null);
  await page.keyboard.press("ArrowRight");
  await page.locator(".marks-side", { hasText: /1\s+of 863/ }).waitFor();
  assert.deepEqual(troubles, []);
  await page.close();
});

test("on a phone: one above the other, the scrubber above the page's own ways", async () => {
  const { page, troubles } = await openPictures({ width: 390, height: 844 });
  await chooseBoth(page);
  await frames(page);
  await page.keyboard.press("2");
  await page.waitForFunction(() => document.querySelector(".together-scrub").getAttribute("aria-valuetext").startsWith("Pull, 0 %"));
  const [steps, ways] = [await page.locator(".together-steps").boundingBox(), await page.locator(".ways").boundingBox()];
  assert.ok(steps.y + steps.height <= ways.y + 1, "the steps are not under the page's ways");
  await page.evaluate(() => document.querySelector(".together").scrollIntoView());
  await page.screenshot({ path: path.join(OUTPUT, "together-page-390.png") });
  await page.evaluate(() => scrollTo(0, document.documentElement.scrollHeight));
  await page.screenshot({ path: path.join(OUTPUT, "together-page-390-end.png") });
  assert.deepEqual(await axeViolations(page), []);
  assert.deepEqual(troubles, []);
  await page.close();
});
