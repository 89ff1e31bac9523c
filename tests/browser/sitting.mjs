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
