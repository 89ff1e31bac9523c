// Marking on a phone: thumbs only, 390 × 844.

import { after, before, test } from "node:test";
import assert from "node:assert/strict";
import { axeViolations, launchChromium, newPage, startSite } from "./harness.mjs";
import { frameShown, waitForFrame, waitForPicture } from "./marks-coach.mjs";

/** @type {Awaited<ReturnType<typeof startSite>>} */
let site;
/** @type {Awaited<ReturnType<typeof launchChromium>>} */
let browser;
/** @type {import("playwright-core").Page} */
let page;
/** @type {string[]} */
let troubles;
/** @type {import("playwright-core").CDPSession} */
let fingers;

before(async () => {
  site = await startSite();
  browser = await launchChromium({ viewport: { width: 390, height: 844 }, hasTouch: true, isMobile: true, deviceScaleFactor: 2 });
  ({ page, troubles } = await newPage(browser.context));
  fingers = await browser.context.newCDPSession(page);
  await page.goto(site.address);
  await page.locator('[data-action="demo"]:not([disabled])').tap();
  await waitForPicture(page);
});

after(async () => {
  await browser?.close();
  await site?.close();
});

/** One finger from one place to another. @param {{x: number, y: number}} from @param {{x: number, y: number}} to */
async function swipe(from, to) {
  const touch = (/** @type {"touchStart" | "touchMove" | "touchEnd"} */ type, /** @type {{x: number, y: number}[]} */ touchPoints) => fingers.send("Input.dispatchTouchEvent", { type, touchPoints });
  await touch("touchStart", [from]);
  for (let step = 1; step <= 8; step += 1) {
    await touch("touchMove", [{ x: from.x + ((to.x - from.x) * step) / 8, y: from.y + ((to.y - from.y) * step) / 8 }]);
  }
  await touch("touchEnd", []);
}

const marksCount = () => page.evaluate(() => Number(/(\d+) mark/.exec(document.querySelector(".marks-tap [role=status]")?.textContent ?? "")?.[1] ?? Number.NaN));

test("the view fits the phone, and every pad and step is at least 44 px each way", async () => {
  const found = await page.evaluate(() => ({
    over: [document.documentElement.scrollWidth - innerWidth, document.documentElement.scrollHeight - innerHeight],
    small: [...document.querySelectorAll(".marks button")].filter((button) => {
      const box = button.getBoundingClientRect();
      return box.width > 0 && !button.classList.contains("marks-absent") && (box.width < 43.9 || box.height < 43.9);
    }).map((button) => `${button.textContent?.trim()} ${button.getBoundingClientRect().width}×${button.getBoundingClientRect().height}`),
    under: [...document.querySelectorAll(".marks-event")].filter((pad) => {
      const box = pad.getBoundingClientRect();
      const top = document.elementFromPoint(box.x + box.width / 2, box.y + box.height / 2);
      return !(top instanceof Node && pad.contains(top));
    }).length,
  }));
  assert.ok(found.over.every((px) => px <= 0), `too large by ${found.over.join(" × ")} px`);
  assert.deepEqual(found.small, []);
  assert.equal(found.under, 0, "a pad lies under something else");
});

test("eight pads stand under the thumbs, left ones on the left", async () => {
  const pads = await page.locator(".marks-event").evaluateAll((buttons) => buttons.map((button) => ({
    action: /** @type {HTMLElement} */ (button).dataset.action, x: button.getBoundingClientRect().x, y: button.getBoundingClientRect().y,
  })));
  assert.equal(pads.length, 8);
  for (const { action, x, y } of pads) {
    assert.equal(x < 195, action?.includes("left"), action);
    assert.ok(y > 844 / 2, `${action} is out of the thumbs' reach`);
  }
});

test("the pad of the asked event marks, and the guided pass goes on", async () => {
  const before = await page.locator(".marks-guided").getAttribute("data-done");
  await page.locator(".marks-event-asked").tap();
  await page.waitForFunction((done) => document.querySelector(".marks-guided")?.getAttribute("data-done") !== done, before);
  await page.waitForFunction(() => document.getElementById("status")?.textContent?.includes("marked on frame"));
});

test("a finger across the picture steps frames", async () => {
  await page.locator('.marks-tool[data-action="guide"]').tap();
  await page.waitForSelector(".marks-guided-off");
  const box = await page.locator(".marks-stage").boundingBox();
  assert.ok(box);
  const before = await frameShown(page);
  const y = box.y + box.height / 2;
  await swipe({ x: box.x + 60, y }, { x: box.x + 260, y });
  await page.waitForFunction((frame) => Number(document.querySelector(".marks-frame-number")?.textContent) > frame + 8, before);
});

test("a finger on the roll jogs", async () => {
  const box = await page.locator(".marks-roll canvas").boundingBox();
  assert.ok(box);
  const before = await frameShown(page);
  const y = box.y + box.height * 0.6;
  await swipe({ x: box.x + 300, y }, { x: box.x + 150, y });
  await page.waitForFunction((frame) => Number(document.querySelector(".marks-frame-number")?.textContent) > frame + 20, before);
});

test("tapping along: each tap marks the frame shown at the tap", async () => {
  await page.locator('.marks-transport [data-action="frame_back"]').tap();
  await page.locator('.marks-tool[data-action="tap_along"]').tap();
  await page.waitForSelector(".marks-tap");
  await page.locator(".marks-tap select").first().selectOption("mark_right_catch");
  const first = await frameShown(page);
  await page.locator(".marks-tap .primary").tap();
  await page.waitForFunction((frame) => Number(document.querySelector(".marks-frame-number")?.textContent) > frame + 5, first);
  const pad = page.locator('.marks-event[data-action="mark_right_catch"]');
  await pad.tap();
  await page.waitForFunction(() => document.getElementById("status")?.textContent?.includes("Right catch marked on frame"));
  const marked = Number(/frame (\d+)/.exec(await page.locator("#status").textContent() ?? "")?.[1]);
  const shown = await frameShown(page);
  assert.ok(marked > first && marked <= shown, `marked ${marked}, playing from ${first} past ${shown}`);
  await page.waitForFunction((frame) => Number(document.querySelector(".marks-frame-number")?.textContent) > frame + 10, marked);
  await pad.tap();
  await page.locator(".marks-tap .primary").tap();
  await page.waitForFunction(() => document.querySelector(".marks-tap [role=status]")?.textContent?.includes("2 marks placed"));
  assert.equal(await marksCount(), 2);
});

test("ten practice taps measure the coach's own reaction", { timeout: 60_000 }, async () => {
  await page.locator(".marks-tap button", { hasText: "Ten practice taps" }).tap();
  await page.waitForSelector(".marks-practice circle");
  // A steady hand: presses when the dot has just come to lie on the line.
  await page.evaluate(() => new Promise((resolve) => {
    const watch = () => {
      const dot = document.querySelector(".marks-practice circle");
      if (!dot) return resolve(undefined);
      if (Number(dot.getAttribute("cy")) >= 61.9) document.querySelector(".marks-practice")?.dispatchEvent(new PointerEvent("pointerdown", { bubbles: true, cancelable: true }));
      requestAnimationFrame(watch);
    };
    watch();
  }));
  const said = await page.locator(".marks-tap").textContent();
  const late = Number(/Marks land (−?\d+) ms/.exec(said ?? "")?.[1].replace("−", "-"));
  assert.ok(Math.abs(late) < 60, `${late} ms`);
  await page.locator(".marks-tap button", { hasText: "Forget it" }).tap();
});

test("axe-core finds no violation on the phone, in both themes", async () => {
  for (const theme of ["light", "dark"]) {
    await page.evaluate((name) => { document.documentElement.dataset.theme = name; }, theme);
    assert.deepEqual(await axeViolations(page), []);
  }
  assert.deepEqual(troubles, []);
  await waitForFrame(page, await frameShown(page));
});
