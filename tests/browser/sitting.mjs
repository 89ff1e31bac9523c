// What the tests of the page's frame do like a coach: choose files, read the list, wait until a change is on the disk.

import path from "node:path";
import { ROOT } from "./harness.mjs";

export const CLIPS = path.join(ROOT, "tests/clips");

/**
 * Takes the file pickers away, so that the page uses the plain input and the download that a driver can handle.
 *
 * @param {import("playwright-core").BrowserContext} context
 */
export async function withoutPickers(context) {
  await context.addInitScript(() => {
    for (const name of ["showOpenFilePicker", "showSaveFilePicker"]) {
      Object.defineProperty(window, name, { value: undefined, configurable: true });
    }
  });
}

/**
 * Clicks what opens the file input and gives it files.
 *
 * @param {import("playwright-core").Page} page
 * @param {string} selector
 * @param {string | string[] | {name: string, mimeType: string, buffer: Buffer}} files
 */
export async function chooseThrough(page, selector, files) {
  const [chooser] = await Promise.all([page.waitForEvent("filechooser"), page.click(selector)]);
  await chooser.setFiles(files);
}

/**
 * Adds a clip of tests/clips to the open session, or starts one with it.
 *
 * @param {import("playwright-core").Page} page
 * @param {string} name
 */
export async function addClip(page, name) {
  await chooseThrough(page, '[data-action="choose"]', path.join(CLIPS, name));
  await page.locator(".clip", { hasText: name }).waitFor();
  await saved(page);
}

/** Waits until everything done is on this device's disk. @param {import("playwright-core").Page} page */
export async function saved(page) {
  await page.locator('.saved[data-saved="saved"]').waitFor();
}

/** How many marks the card of the only clip tells. @param {import("playwright-core").Page} page */
export async function marksTold(page) {
  await page.click('.way[href^="#clips"]');
  const text = await page.locator(".clip-name p").first().innerText();
  if (text.includes("nothing marked yet")) return 0;
  return Number(/from (\d+) marks?/.exec(text)?.[1]);
}

/** The text of every notice that stands. @param {import("playwright-core").Page} page */
export function notices(page) {
  return page.locator(".notice-message").allInnerTexts();
}

/**
 * The bytes that a click lets the browser download, and the name they come under.
 *
 * @param {import("playwright-core").Page} page
 * @param {string} selector
 */
export async function downloadThrough(page, selector) {
  const [download] = await Promise.all([page.waitForEvent("download"), page.click(selector)]);
  const stream = await download.createReadStream();
  const parts = [];
  for await (const part of stream) parts.push(part);
  return { name: download.suggestedFilename(), bytes: Buffer.concat(parts) };
}

/**
 * Every row of a store of this device as it lies there, read behind the page's back; `put` is written first.
 *
 * @param {import("playwright-core").Page} page
 * @param {"sessions"|"bases"|"journal"|"as_left"} store
 * @param {object[]} [put]
 * @returns {Promise<any[]>}
 */
export function keptRows(page, store, put = []) {
  return page.evaluate(async ([name, rows]) => {
    const answer = (/** @type {IDBRequest} */ request) => new Promise((resolve, reject) => {
      request.onsuccess = () => resolve(request.result);
      request.onerror = () => reject(request.error);
    });
    const database = await answer(indexedDB.open("wetframe"));
    try {
      const kept = database.transaction(name, rows.length > 0 ? "readwrite" : "readonly").objectStore(name);
      for (const row of rows) await answer(kept.put(row));
      return await answer(kept.getAll());
    } finally {
      database.close();
    }
  }, /** @type {[string, object[]]} */ ([store, put]));
}
