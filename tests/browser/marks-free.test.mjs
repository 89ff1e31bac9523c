// Free marking by keys on the demo: mark, move, retype, delete, undo; flags at once with their reason; keys that the
// coach changes; what fits the window.

import { after, before, test } from "node:test";
import assert from "node:assert/strict";
import { axeViolations, launchChromium, newPage, startSite } from "./harness.mjs";
import { Coach, marksListed, openDemo, waitForFrame } from "./marks-coach.mjs";

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
  browser = await launchChromium();
  ({ page, troubles } = await newPage(browser.context));
  coach = new Coach(page);
  await openDemo(page, site.address);
  await coach.press("KeyH"); // the guided pass off: nothing moves the frames but the coach
  await page.waitForSelector(".marks-guided-off");
  await coach.press("Home");
  await waitForFrame(page, 0);
});

after(async () => {
  await browser?.close();
  await site?.close();
});

const marks = async () => (await marksListed(page)).map(({ action, frame }) => `${action} ${frame}`);

test("a key marks its event on the frame shown, and the status line says so", async () => {
  await coach.typeFrame(40);
  await coach.press("KeyA");
  await page.waitForFunction(() => document.getElementById("status")?.textContent?.includes("Left entry marked on frame 40"));
  await coach.typeFrame(70);
  await coach.press("KeyS");
  await coach.press("ArrowRight", 8);
  await coach.press("KeyD");
  assert.deepEqual(await marks(), ["mark_left_entry 40", "mark_left_catch 70", "mark_left_mid_pull 78"]);
});

test("the same event is not marked twice on one frame", async () => {
  await coach.press("KeyD");
  await page.waitForFunction(() => document.getElementById("status")?.textContent?.includes("already marked"));
  assert.equal((await marks()).length, 3);
});

test("a burst of keys marks the frame that was asked for, not the one that happened to be shown", async () => {
  await coach.typeFrame(200);
  // All within one turn of the page: no frame can have been shown between them.
  await page.evaluate(() => {
    for (const [code, shiftKey] of /** @type {[string, boolean][]} */ ([["ArrowRight", false], ["ArrowRight", false], ["ArrowRight", false], ["KeyJ", false], ["ArrowRight", true], ["ArrowRight", false], ["KeyK", false]])) {
      document.body.dispatchEvent(new KeyboardEvent("keydown", { code, key: code, shiftKey, bubbles: true, cancelable: true }));
    }
  });
  await waitForFrame(page, 214);
  const found = await marks();
  assert.ok(found.includes("mark_right_entry 203") && found.includes("mark_right_catch 214"), found.join());
  await coach.press("Control+KeyZ", 2);
  assert.equal((await marks()).length, 3);
});

test("an impossible order is flagged at once on the roll with its reason, and the mark stays", async () => {
  await coach.typeFrame(60);
  await coach.press("KeyF"); // an exit before its catch
  await page.waitForSelector(".marks-flags p");
  const reason = await page.locator(".marks-flags p").textContent();
  assert.match(reason ?? "", /exit/i);
  assert.match(reason ?? "", /catch/i);
  assert.equal((await marks()).length, 4, "nothing is dropped");
  await page.waitForFunction(() => document.getElementById("status")?.textContent?.includes("Flagged:"));
});

test("moving the selected mark by frames mends it, and the flag goes", async () => {
  // The new mark is selected: to frame 90, then one frame later and one earlier.
  await coach.typeFrame(90);
  await coach.press("KeyX");
  await page.waitForFunction(() => document.querySelector(".marks-flags p") === null);
  await coach.press("Period", 2);
  await coach.press("Comma");
  await waitForFrame(page, 91);
  assert.ok((await marks()).includes("mark_left_exit 91"));
});

test("marks are selected one after the other, retyped with Shift and deleted", async () => {
  await coach.press("ArrowUp");
  await waitForFrame(page, 78);
  await coach.press("Shift+KeyF");
  assert.ok((await marks()).includes("mark_left_exit 78"));
  await coach.press("Control+KeyZ");
  assert.ok((await marks()).includes("mark_left_mid_pull 78"));
  await coach.press("ArrowUp");
  await waitForFrame(page, 70);
  await coach.press("Delete");
  assert.deepEqual(await marks(), ["mark_left_entry 40", "mark_left_mid_pull 78", "mark_left_exit 91"]);
  await coach.press("Control+KeyZ");
  assert.equal((await marks()).length, 4);
});

test("breath, leg and pass events have keys too", async () => {
  await coach.typeFrame(300);
  for (const key of ["KeyQ", "KeyI", "Digit5", "Digit0", "Digit4"]) await coach.press(key);
  const found = await marks();
  for (const action of ["mark_left_exhale_start", "mark_right_face_turn", "mark_both_kick_out_start", "mark_right_downbeat", "mark_pass"]) {
    assert.ok(found.includes(`${action} 300`), `${action} in ${found.join()}`);
  }
  await coach.press("Control+KeyZ", 5);
});

test("typing in a field is typing, not marking", async () => {
  const before = await marks();
  await coach.press("KeyG");
  for (const key of ["KeyA", "KeyS", "Digit1"]) await page.keyboard.press(key);
  await page.keyboard.press("Escape");
  assert.deepEqual(await marks(), before);
});

test("a time can be typed, and nonsense is answered in words", async () => {
  await coach.press("KeyG");
  await page.keyboard.type("2.5");
  await page.keyboard.press("Enter");
  await waitForFrame(page, 150);
  await coach.press("KeyG");
  await page.keyboard.type("soon");
  await page.keyboard.press("Enter");
  await page.waitForFunction(() => document.getElementById("status")?.textContent?.includes("neither a frame number nor a time"));
  await page.keyboard.press("Escape");
});

test("a dash gives its reason when it has the focus", async () => {
  await coach.typeFrame(500);
  const dash = page.locator(".marks-block-gap .marks-absent").first();
  await dash.focus();
  await page.waitForFunction(() => [...document.querySelectorAll(".marks-reason")].some((reason) => getComputedStyle(reason).display === "block" && (reason.textContent ?? "").length > 20));
  await page.evaluate(() => /** @type {HTMLElement} */ (document.activeElement).blur());
});

test("the sheet of keys opens beside the work, gives an action another key, and the key is kept", async () => {
  await page.keyboard.press("Shift+Slash");
  await page.waitForSelector(".marks-sheet");
  assert.equal(await page.locator(".marks-sheet .marks-key").count() > 60, true);
  const entry = page.locator(".marks-sheet .marks-key[data-action=mark_left_entry]");
  await entry.focus();
  await page.keyboard.press("Enter");
  await page.keyboard.press("KeyZ");
  await page.waitForFunction(() => document.querySelector(".marks-sheet-said")?.textContent?.includes("new key"));
  await page.keyboard.press("Escape");
  await page.waitForFunction(() => document.querySelector(".marks-sheet") === null);
  await page.evaluate(() => /** @type {HTMLElement} */ (document.activeElement).blur());
  await coach.typeFrame(400);
  await page.keyboard.press("KeyA");
  await page.keyboard.press("KeyZ");
  assert.ok((await marks()).includes("mark_left_entry 400"));
  assert.deepEqual(await page.evaluate(() => JSON.parse(localStorage.getItem("wetframe keys") ?? "{}")), { mark_left_entry: "KeyZ" });
  await page.evaluate(() => localStorage.removeItem("wetframe keys"));
  await coach.press("Control+KeyZ");
});

test("play and pause: playing moves the frames, an event's key then marks nothing but pauses", async () => {
  const before = await marks();
  await coach.press("Home");
  await waitForFrame(page, 0);
  await coach.press("Space");
  await page.waitForFunction(() => Number(document.querySelector(".marks-frame-number")?.textContent) > 3);
  await coach.press("KeyJ");
  await page.waitForFunction(() => document.querySelector('.marks-transport [data-action="play"]')?.textContent?.includes("Play"));
  assert.deepEqual(await marks(), before);
});

test("one cycle is looped: from its entry to the frame before the next one, round and round, until it is stopped", async () => {
  const before = await marks();
  await coach.typeFrame(110);
  await coach.press("KeyZ"); // the key that the sheet gave to the left entry
  await coach.typeFrame(100);
  await coach.press("BracketRight", 9); // as fast as it goes
  await page.evaluate(() => {
    const number = /** @type {Element} */ (document.querySelector(".marks-frame-number"));
    /** @type {number[]} */
    const seen = [];
    Object.assign(window, { framesSeen: seen });
    new MutationObserver(() => seen.push(Number(number.textContent))).observe(number, { subtree: true, characterData: true, childList: true });
  });
  await coach.press("KeyC");
  const pressed = page.locator('.marks-transport [data-action="loop_cycle"]');
  await page.waitForSelector('.marks-transport [data-action="loop_cycle"][aria-pressed="true"]');
  const rounds = () => page.evaluate(() => {
    /** @type {number[]} */
    const seen = /** @type {any} */ (window).framesSeen;
    return { least: Math.min(...seen), most: Math.max(...seen), rounds: seen.filter((frame, index) => index > 0 && frame < seen[index - 1]).length };
  });
  await page.waitForFunction(() => {
    /** @type {number[]} */
    const seen = /** @type {any} */ (window).framesSeen;
    return seen.filter((frame, index) => index > 0 && frame < seen[index - 1]).length >= 3;
  });
  await coach.press("KeyC");
  await page.waitForFunction(() => document.querySelector('.marks-transport [data-action="play"]')?.textContent?.includes("Play"));
  assert.equal(await pressed.getAttribute("aria-pressed"), "false");
  const { least, most } = await rounds();
  assert.ok(least >= 40 && least < 50, `from frame ${least}`);
  assert.ok(most <= 109 && most >= 100, `to frame ${most}`);
  await coach.press("Control+KeyZ");
  assert.deepEqual(await marks(), before);
  // Outside every cycle there is nothing to loop, and it says so.
  await coach.typeFrame(300);
  await coach.press("KeyC");
  await page.waitForFunction(() => /cycle/i.test(document.getElementById("status")?.textContent ?? ""));
  assert.equal(await pressed.getAttribute("aria-pressed"), "false");
});

test("the roll zooms from one cycle to the whole clip by one key, wheel or slider", async () => {
  await coach.press("Shift+Minus");
  await page.waitForFunction(() => document.querySelector(".marks-zoom input")?.getAttribute("aria-valuetext") === "14.4 s across");
  await coach.press("Shift+Equal");
  await page.waitForFunction(() => parseFloat(document.querySelector(".marks-zoom input")?.getAttribute("aria-valuetext") ?? "99") < 2.5);
  const box = await page.locator(".marks-roll canvas").boundingBox();
  assert.ok(box);
  await page.mouse.move(box.x + box.width / 2, box.y + box.height / 2);
  await page.mouse.wheel(0, 4000);
  await page.waitForFunction(() => document.querySelector(".marks-zoom input")?.getAttribute("aria-valuetext") === "14.4 s across");
});

test("by the keys the picture is magnified, looked around in, turned and shown whole again", async () => {
  const picture = () => page.evaluate(() => {
    const { left, top, width, height } = /** @type {Element} */ (document.querySelector(".marks-stage canvas")).getBoundingClientRect();
    return { left, top, width, height };
  });
  const whole = await picture();
  await coach.press("PageUp", 4);
  const large = await picture();
  assert.ok(large.width > 2 * whole.width, `${large.width} after ${whole.width}`);
  await coach.press("Shift+Home");
  assert.ok((await picture()).left > large.left, "what lies at the left comes into sight");
  await coach.press("Shift+End");
  await coach.press("Shift+ArrowDown");
  assert.ok((await picture()).top < large.top, "what lies below comes into sight");
  await coach.press("Backquote");
  assert.deepEqual(await picture(), whole);
  await coach.press("Backslash");
  const turned = await picture();
  assert.ok(Math.abs(turned.width / turned.height - whole.height / whole.width) < 0.02, "a quarter turn");
  await coach.press("Backslash", 3);
  assert.deepEqual(await picture(), whole);
});

test("with the mouse: a click on a sign selects it, a drag of it moves it, a drag of the roll jogs", async () => {
  await coach.press("Home");
  await waitForFrame(page, 0);
  await coach.press("Shift+Equal");
  await coach.typeFrame(78);
  const box = await page.locator(".marks-roll canvas").boundingBox();
  assert.ok(box);
  const gutter = 84;
  const middle = box.x + gutter + (box.width - gutter) / 2;
  const across = parseFloat(await page.locator(".marks-zoom input").getAttribute("aria-valuetext") ?? "");
  const frameWide = (box.width - gutter) / across / 60;
  const y = box.y + 22 + 6;
  await page.mouse.click(middle, y);
  await page.waitForFunction(() => document.getElementById("status")?.textContent?.includes("mid-pull, frame 78, selected"));
  await page.mouse.move(middle, y);
  await page.mouse.down();
  await page.mouse.move(middle + frameWide * 2.5, y, { steps: 4 });
  await waitForFrame(page, 80); // the picture follows the sign under the hand, before it is let go
  assert.ok((await marks()).includes("mark_left_mid_pull 78"), "until then the mark stays");
  await page.mouse.move(middle + frameWide * 5.5, y, { steps: 4 });
  await waitForFrame(page, 83);
  await page.mouse.move(middle + frameWide * 2.5, y, { steps: 4 });
  await page.mouse.up();
  await waitForFrame(page, 80);
  assert.ok((await marks()).includes("mark_left_mid_pull 80"));
  await coach.press("Escape");
  await page.mouse.move(middle, box.y + box.height * 0.6);
  await page.mouse.down();
  await page.mouse.move(middle - frameWide * 10.4, box.y + box.height * 0.6, { steps: 5 });
  await page.mouse.up();
  await waitForFrame(page, 90);
});

test("nothing scrolls at 1366 × 768, and axe-core finds no violation with the list or the sheet open", async () => {
  for (const key of ["KeyM", "Shift+Slash"]) {
    await page.keyboard.press(key);
    const over = await page.evaluate(() => document.documentElement.scrollHeight - innerHeight);
    assert.ok(over <= 0, `${over} px too tall`);
    assert.deepEqual(await axeViolations(page), []);
    await page.keyboard.press(key);
  }
  const cut = await page.evaluate(() => [...document.querySelectorAll(".marks-now")].map((box) => box.scrollHeight - box.clientHeight));
  assert.ok(cut.every((over) => over <= 1), `the figures are cut by ${cut.join()} px`);
  assert.deepEqual(troubles, []);
});
