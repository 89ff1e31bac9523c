// How the picture lies in its stage: fitted, magnified at the point under the hand, moved, turned; and a clip
// that is damaged inside.

import assert from "node:assert/strict";
import { readFile } from "node:fs/promises";
import path from "node:path";
import { after, before, beforeEach, describe, test } from "node:test";
import { launchChromium, newPage, ROOT, startSite } from "./harness.mjs";
import { numberOf, testClips } from "./player-proof.mjs";

let site;
let browser;
let page;
let troubles;

before(async () => {
  site = await startSite();
  browser = await launchChromium({ hasTouch: true });
  ({ page, troubles } = await newPage(browser.context));
  await page.goto(`${site.address}tests/browser/pages/player.html`);
  await page.waitForFunction(() => "page" in window);
  await page.evaluate(() => window.page.open("b_frames.mp4"));
});

after(async () => {
  await browser?.close();
  await site?.close();
});

/** The stage is 640 × 400, the picture 320 × 180: it fits at twice its size. */
const lay = () => page.evaluate(() => window.page.layPicture(640, 400));
const box = () => page.evaluate(() => window.page.pictureBox());
const near = (/** @type {number} */ one, /** @type {number} */ other, message) => assert.ok(Math.abs(one - other) < 0.6, `${message ?? ""} ${one} is not ${other}`);

describe("the picture in its stage", () => {
  beforeEach(lay);

  test("the whole picture fits, in the middle", async () => {
    const { left, top, width, height } = await box();
    near(width, 640);
    near(height, 360);
    near(left, 0);
    near(top, 20);
  });

  test("a wheel magnifies at the point under the hand", async () => {
    const stage = await page.locator("#stage").boundingBox();
    const hand = { x: stage.x + 480, y: stage.y + 300 };
    const pointUnder = async () => {
      const { left, top, width, height } = await box();
      return [(480 - left) / width, (300 - top) / height];
    };
    const before = await pointUnder();
    await page.mouse.move(hand.x, hand.y);
    await page.mouse.wheel(0, -300);
    await page.waitForFunction(() => window.page.picture.magnification > 1.5);
    const [x, y] = await pointUnder();
    near(x * 640, before[0] * 640);
    near(y * 360, before[1] * 360);
  });

  test("pixels are drawn as squares from twice their size on", async () => {
    const rendering = () => page.evaluate(() => getComputedStyle(document.getElementById("picture")).imageRendering);
    assert.equal(await rendering(), "auto");
    await page.evaluate(() => window.page.picture.zoom(1));
    assert.equal(await rendering(), "pixelated");
  });

  test("a magnified picture is moved by the mouse, but never out of the stage", async () => {
    await page.evaluate(() => window.page.picture.zoom(4));
    const stage = await page.locator("#stage").boundingBox();
    const before = await box();
    await page.mouse.move(stage.x + 300, stage.y + 200);
    await page.mouse.down();
    await page.mouse.move(stage.x + 340, stage.y + 210, { steps: 4 });
    await page.mouse.up();
    const moved = await box();
    near(moved.left, before.left + 40);
    near(moved.top, before.top + 10);
    await page.evaluate(() => window.page.picture.pan(-100, 0));
    const pushed = await box();
    near(pushed.left + pushed.width, 640, "the right edge stays at the stage's");
  });

  test("a quarter turn fits again, four are none, and reset shows the whole", async () => {
    await page.evaluate(() => window.page.picture.turn(1));
    const turned = await box();
    near(turned.height, 400);
    near(turned.width, 225);
    await page.evaluate(() => window.page.picture.turn(3));
    near((await box()).width, 640);
    await page.evaluate(() => { window.page.picture.zoom(5); window.page.picture.reset(); });
    near((await box()).width, 640);
  });

  test("two fingers magnify at the point between them and carry it along; then one finger moves the picture", async () => {
    const client = await browser.context.newCDPSession(page);
    const stage = await page.locator("#stage").boundingBox();
    /** @param {string} type @param {[number, number][]} fingers @param {number} [first] id of the first of them */
    const touch = (type, fingers, first = 0) => client.send("Input.dispatchTouchEvent", { type, touchPoints: fingers.map(([x, y], at) => ({ id: first + at, x: stage.x + x, y: stage.y + y })) });
    const pointAt = async (/** @type {number} */ x, /** @type {number} */ y) => {
      const { left, top, width, height } = await box();
      return [(x - left) / width, (y - top) / height];
    };
    const between = await pointAt(300, 200);
    await touch("touchStart", [[280, 200]]);
    await touch("touchStart", [[280, 200], [320, 200]]);
    for (let step = 1; step <= 10; step += 1) await touch("touchMove", [[280 - 6 * step, 200 + 2 * step], [320 + 6 * step, 200 + 2 * step]]);
    // From 40 px apart to 160: four times as large, and the point between the fingers went down with them.
    await page.waitForFunction(() => Math.abs(window.page.picture.magnification - 4) < 0.02);
    const after = await pointAt(300, 220);
    near(after[0] * 640, between[0] * 640);
    near(after[1] * 360, between[1] * 360);
    await touch("touchEnd", [[380, 220]], 1); // the second finger is lifted
    const before = await box();
    for (let step = 1; step <= 5; step += 1) await touch("touchMove", [[220 + 8 * step, 220]]);
    await touch("touchEnd", []);
    await page.waitForFunction((left) => Math.abs(window.page.pictureBox().left - left) < 0.6, before.left + 40);
    assert.deepEqual(await page.evaluate(() => window.page.takeSteps()), [], "a pinch steps no frame");

    // Together again: never smaller than the whole picture.
    await touch("touchStart", [[100, 200]]);
    await touch("touchStart", [[100, 200], [500, 200]]);
    for (let step = 1; step <= 10; step += 1) await touch("touchMove", [[100 + 18 * step, 200], [500 - 18 * step, 200]]);
    await touch("touchEnd", []);
    await page.waitForFunction(() => window.page.picture.magnification === 1);
    near((await box()).width, 640);
    await client.detach();
  });

  test("a finger's drag steps frames, and does not when that is switched off", async () => {
    const drag = async () => {
      const client = await browser.context.newCDPSession(page);
      const stage = await page.locator("#stage").boundingBox();
      const touch = (type, x) => client.send("Input.dispatchTouchEvent", { type, touchPoints: type === "touchEnd" ? [] : [{ x: stage.x + x, y: stage.y + 200 }] });
      await touch("touchStart", 200);
      for (let x = 206; x <= 260; x += 6) await touch("touchMove", x);
      await touch("touchEnd", 260);
      await client.detach();
      return page.evaluate(() => window.page.takeSteps());
    };
    assert.equal((await drag()).reduce((sum, frames) => sum + frames, 0), 5, "60 px at 12 px a frame");
    await page.evaluate(() => { window.page.picture.dragSteps = false; });
    assert.deepEqual(await drag(), []);
  });
});

describe("a clip that is damaged inside", () => {
  test("every wish is answered, and the groups that are whole show their own numbers", async () => {
    const clips = await testClips();
    const clip = clips.find(({ file }) => file === "constant_30.mp4");
    const bytes = await readFile(path.join(ROOT, "tests/clips/constant_30.mp4"));
    const damaged = await page.evaluate(([data]) => window.page.openDamaged(data, [35, 36, 37]), [[...bytes]]);
    assert.equal(damaged.trouble, undefined);
    const frames = Array.from({ length: clip.frames }, (_, frame) => frame);
    for (const list of [frames, [...frames].reverse()]) {
      const seen = await page.evaluate((wishes) => window.page.walk(wishes), list);
      assert.equal(seen.length, frames.length);
      const whole = seen.filter(({ frame }) => frame < 30 || frame >= 60);
      for (const { frame, outcome, number } of whole) {
        assert.equal(outcome, "shown", `frame ${frame}`);
        assert.equal(number, numberOf(clip, frame));
      }
      assert.ok(seen.every(({ outcome }) => outcome === "shown" || outcome === "not_reached"));
      assert.ok(seen.some(({ outcome }) => outcome === "not_reached"), "a frame that cannot be decoded is not shown");
    }
  });
});

test("a clip of which no picture can be decoded is refused by name, with what to do", async () => {
  const bytes = await readFile(path.join(ROOT, "tests/clips/constant_30.mp4"));
  const all = Array.from({ length: 90 }, (_, frame) => frame);
  const { trouble } = await page.evaluate(([data, frames]) => window.page.openDamaged(data, frames, "auto"), [[...bytes], all]);
  assert.equal(trouble.kind, "clip_not_playable");
  assert.match(trouble.message, /^damaged\.mp4 cannot be played by this browser \(its pictures cannot be decoded\)/);
  assert.deepEqual(trouble.place, { file: "damaged.mp4" });
});

test("a clip that is cut off opens as far as it goes, and says how much is missing", async () => {
  const { facts } = await page.evaluate(() => window.page.open("truncated.mp4"));
  const [warning] = facts.warnings;
  assert.equal(warning.kind, "truncated");
  assert.match(warning.message, /^truncated\.mp4: the file is cut off .* 55 of its frames are missing/);
  assert.equal(warning.severity, "warning");
});

test("the page met no error of its own", () => {
  assert.deepEqual(troubles, []);
});
