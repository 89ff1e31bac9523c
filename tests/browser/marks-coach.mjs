// A coach for the tests of the marking view: opens the demo, looks for a frame with the keys a hand would use,
// and counts every press. Knows the demo's true times; knows nothing of the page's inside.

import { readFile } from "node:fs/promises";
import path from "node:path";
import { ROOT } from "./harness.mjs";

/** @typedef {import("playwright-core").Page} Page */
/** @typedef {{kind: string, side: string, time_s: number, frame: number}} TrueEvent */

/** The demo's exact event times, written by the demo's renderer. @param {string} label @returns {Promise<any>} */
export async function truthOf(label) {
  const truth = JSON.parse(await readFile(path.join(ROOT, "demo/truth.json"), "utf8"));
  return truth.clips.find((clip) => clip.label === label);
}

/** Opens the demo from the first screen by the keyboard and waits for its first picture. @param {Page} page @param {string} address */
export async function openDemo(page, address) {
  await page.goto(address);
  await page.waitForSelector('[data-action="demo"]:not([disabled])');
  for (let tab = 0; tab < 60; tab += 1) {
    if (await page.evaluate(() => document.activeElement?.matches('[data-action="demo"]'))) break;
    await page.keyboard.press("Tab");
  }
  await page.keyboard.press("Enter");
  await waitForPicture(page);
}

/** @param {Page} page */
export async function waitForPicture(page) {
  await page.waitForSelector(".marks-proof-decoded, .marks-proof-sought", { timeout: 30_000 });
  await page.waitForSelector('.marks-transport [data-action="play"]:not([disabled])');
}

/** The number of the frame that the page says it shows. @param {Page} page */
export async function frameShown(page) {
  return Number(await page.locator(".marks-frame-number").textContent());
}

/** @param {Page} page @param {number} frame */
export async function waitForFrame(page, frame) {
  await page.waitForFunction((wanted) => document.querySelector(".marks-frame-number")?.textContent === String(wanted), frame);
}

/** What the guided pass asks now, once its frame is shown; null when it has nothing left to ask. @param {Page} page */
export async function question(page) {
  await page.waitForFunction(() => {
    const asked = document.querySelector(".marks-guided");
    if (!asked) return false;
    const { frame } = /** @type {HTMLElement} */ (asked).dataset;
    return frame === undefined || document.querySelector(".marks-frame-number")?.textContent === frame;
  });
  return await page.evaluate(() => {
    const asked = document.querySelector(".marks-guided");
    if (!(asked instanceof HTMLElement) || asked.dataset.asks === undefined) return null;
    const { asks, frame, done, of } = asked.dataset;
    return { asks, frame: Number(frame), done: Number(done), of: Number(of) };
  });
}

/** Waits until the pass asks something else. @param {Page} page @param {{asks: string, frame: number, done: number}} before */
export async function nextQuestion(page, before) {
  await page.waitForFunction(({ asks, frame, done }) => {
    const asked = document.querySelector(".marks-guided");
    if (!(asked instanceof HTMLElement)) return false;
    const now = asked.dataset;
    return now.asks !== asks || now.frame !== String(frame) || now.done !== String(done);
  }, before);
  return await question(page);
}

export class Coach {
  /** @param {Page} page */
  constructor(page) {
    this.page = page;
    /** Every press of a key so far. */
    this.keys = 0;
  }

  /** @param {string} key @param {number} [times] */
  async press(key, times = 1) {
    for (let time = 0; time < times; time += 1) {
      this.keys += 1;
      await this.page.keyboard.press(key);
    }
  }

  /** Steps to a frame: by tens while that is shorter, then by ones. @param {number} frame */
  async stepTo(frame) {
    const away = frame - await frameShown(this.page);
    const tens = Math.round(away / 10);
    const ones = away - 10 * tens;
    await this.press(tens < 0 ? "Shift+ArrowLeft" : "Shift+ArrowRight", Math.abs(tens));
    await this.press(ones < 0 ? "ArrowLeft" : "ArrowRight", Math.abs(ones));
    await waitForFrame(this.page, frame);
  }

  /** Goes to a frame by typing its number. @param {number} frame */
  async typeFrame(frame) {
    await this.press("KeyG");
    for (const digit of String(frame)) await this.press(digit);
    await this.press("Enter");
    await waitForFrame(this.page, frame);
  }
}

/** Every mark in the list, page by page: what it is and on which frame. @param {Page} page @returns {Promise<{action: string, frame: number, id: number}[]>} */
export async function marksListed(page) {
  const wasOpen = await page.locator(".marks-list").count() > 0;
  if (!wasOpen) await page.keyboard.press("KeyM");
  await page.waitForSelector(".marks-list");
  // What was done last is drawn with the screen's next frame.
  await page.evaluate(() => new Promise((resolve) => requestAnimationFrame(() => requestAnimationFrame(resolve))));
  const earlier = page.locator(".marks-list header button").filter({ hasText: "Earlier marks" });
  while (await earlier.count() > 0 && await earlier.isEnabled()) await pressButton(page, earlier);
  /** @type {Map<number, {action: string, frame: number, id: number}>} */
  const found = new Map();
  const later = page.locator(".marks-list header button").filter({ hasText: "Later marks" });
  for (;;) {
    const rows = await page.locator(".marks-list tbody tr").evaluateAll((elements) => elements.map((row) => ({
      id: Number(/** @type {HTMLElement} */ (row).dataset.mark),
      action: /** @type {HTMLSelectElement} */ (row.querySelector("select")).value,
      frame: Number(row.querySelector("strong")?.textContent),
    })));
    for (const row of rows) found.set(row.id, row);
    if (await later.count() === 0 || !await later.isEnabled()) break;
    await pressButton(page, later);
  }
  if (!wasOpen) {
    await page.keyboard.press("KeyM");
    await page.waitForSelector(".marks-list", { state: "detached" });
  }
  return [...found.values()];
}

/** @param {Page} page @param {import("playwright-core").Locator} button */
async function pressButton(page, button) {
  const first = await page.locator(".marks-list tbody tr").first().getAttribute("data-mark");
  await button.focus();
  await page.keyboard.press("Enter");
  await page.waitForFunction((before) => document.querySelector(".marks-list tbody tr")?.getAttribute("data-mark") !== before, first);
}

/** A figure of the now column with its ±; null where it shows a dash. @param {Page} page @param {string} block @param {"left" | "right"} side */
export async function figure(page, block, side) {
  const text = await page.locator(`.marks-block-${block} .marks-cell-${side} .marks-figure`).first().textContent();
  const read = /^\s*([−-]?[\d.]+)\s*±([\d.]+)/.exec(text ?? "");
  return read ? { value: Number(read[1].replace("−", "-")), error: Number(read[2]) } : null;
}

/** Counts every use of a pointer, from the next load on, in `window.pointerUses`. @param {import("playwright-core").Page} page */
export function countPointerUses(page) {
  return page.addInitScript(() => {
    // @ts-ignore the tests' own counter
    window.pointerUses = 0;
    for (const kind of ["pointerdown", "mousedown", "touchstart"]) {
      // @ts-ignore
      window.addEventListener(kind, () => { window.pointerUses += 1; }, { capture: true });
    }
  });
}
