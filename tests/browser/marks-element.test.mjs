// Marking where the browser has no decoder for the page: by the video element, with verified seeks. Nothing is marked
// on a frame that was caught in play.

import assert from "node:assert/strict";
import { after, before, test } from "node:test";
import { launchChromium, newPage, startSite } from "./harness.mjs";
import { Coach, frameShown, marksListed, waitForFrame } from "./marks-coach.mjs";
import { addClip, downloadThrough, notices, saved, withoutPickers } from "./sitting.mjs";

/** @type {Awaited<ReturnType<typeof startSite>>} */
let site;
/** @type {Awaited<ReturnType<typeof launchChromium>>} */
let browser;
/** @type {import("playwright-core").Page} */
let page;
/** @type {string[]} */
let troubles;
/** @type {Coach} */
let coach;

before(async () => {
  site = await startSite();
  browser = await launchChromium({ acceptDownloads: true });
  await withoutPickers(browser.context);
  const withoutDecoder = () => { Reflect.deleteProperty(globalThis, "VideoDecoder"); };
  await browser.context.addInitScript(withoutDecoder);
  // No init script reaches a worker: its own script begins with the same words.
  await browser.context.route("**/player/decoder-worker.js", async (route) => {
    const response = await route.fetch();
    await route.fulfill({ response, body: `(${withoutDecoder})();\n${await response.text()}` });
  });
  ({ page, troubles } = await newPage(browser.context));
  coach = new Coach(page);
  await page.goto(site.address);
  await page.locator(".kept").waitFor();
});

after(async () => {
  await browser?.close();
  await site?.close();
});

const status = () => page.locator("#status").textContent();

test("the page says how the clip is shown, and that it is less exact", async () => {
  await addClip(page, "constant_30.mp4");
  assert.match(await page.locator(".clip").innerText(), /seek/i);
  await page.click('.way[href^="#marks"]');
  await page.locator(".marks-proof-sought").waitFor();
  assert.match((await notices(page)).join(), /constant_30\.mp4/);
  await page.keyboard.press("h");
  await page.waitForSelector(".marks-guided-off");
});

test("steps of one and ten, a typed frame and the ends show the frame that was asked for", async () => {
  await coach.stepTo(24);
  await page.locator(".marks-proof-sought").waitFor();
  await coach.stepTo(13);
  await coach.typeFrame(60);
  await coach.press("End");
  await waitForFrame(page, 89);
  await coach.press("Home");
  await waitForFrame(page, 0);
  await page.locator(".marks-proof-sought").waitFor();
});

test("a mark stands on the frame that was sought, and says so", async () => {
  await coach.typeFrame(20);
  await coach.press("a");
  await page.waitForFunction(() => document.getElementById("status")?.textContent?.includes("Left entry marked on frame 20"));
  // A hand that is faster than the seeks: the mark waits for its frame.
  await coach.press("ArrowRight", 5);
  await coach.press("s");
  await page.waitForFunction(() => document.getElementById("status")?.textContent?.includes("Left catch marked on frame 25"));
  await coach.press("Period");
  await page.waitForFunction(() => document.getElementById("status")?.textContent?.includes("frame 26"));
  assert.deepEqual((await marksListed(page)).map(({ action, frame }) => `${action} ${frame}`), ["mark_left_entry 20", "mark_left_catch 26"]);
});

test("tapping along pauses at each tap, checks the frame, marks it and plays on", async () => {
  await coach.press("Home");
  await waitForFrame(page, 0);
  await coach.press("t");
  await page.waitForSelector(".marks-tap");
  assert.match(await page.locator(".marks-tap").innerText(), /checked|paus/i);
  await page.locator(".marks-tap select").first().selectOption("mark_right_entry");
  await page.locator(".marks-tap .primary").click();
  const tapped = [];
  for (const from of [0, 0]) {
    const past = tapped.at(-1) ?? from;
    await page.waitForFunction((frame) => Number(document.querySelector(".marks-frame-number")?.textContent) > frame + 8, past);
    const before = await frameShown(page);
    await coach.press("j");
    await page.waitForFunction((frame) => {
      const said = /Right entry marked on frame (\d+)/.exec(document.getElementById("status")?.textContent ?? "");
      return said !== null && Number(said[1]) > frame;
    }, past);
    const marked = Number(/frame (\d+)/.exec(await status() ?? "")?.[1]);
    assert.ok(marked >= before, `tapped at ${before} or later, marked ${marked}`);
    tapped.push(marked);
  }
  // It plays on by itself after the check.
  await page.waitForFunction((frame) => Number(document.querySelector(".marks-frame-number")?.textContent) > frame + 4, tapped[1]);
  await page.locator(".marks-tap .primary").click();
  await page.waitForFunction(() => document.querySelector(".marks-tap [role=status]")?.textContent?.includes("2 marks placed"));
  await coach.press("t");
  const entries = (await marksListed(page)).filter(({ action }) => action === "mark_right_entry").map(({ frame }) => frame);
  assert.deepEqual(entries, tapped);
});

test("the session keeps for every mark that its frame was sought", async () => {
  await saved(page);
  await page.click('.way[href^="#hand-over"]');
  const { bytes } = await downloadThrough(page, '[data-action="save-session"]');
  const { marks } = JSON.parse(bytes.toString("utf8")).session.clips[0];
  assert.equal(marks.length, 4);
  assert.deepEqual([...new Set(marks.map((/** @type {{proof: string}} */ mark) => mark.proof))], ["sought"]);
  assert.deepEqual(troubles, []);
});
