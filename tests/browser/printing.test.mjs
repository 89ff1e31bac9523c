// The numbers on paper, asked for from Hand over: everything that was measured, whole, on A4.

import assert from "node:assert/strict";
import { mkdir, writeFile } from "node:fs/promises";
import path from "node:path";
import { after, before, test } from "node:test";
import { OUTPUT, launchChromium, newPage, startSite } from "./harness.mjs";
import { truthOf, waitForPicture } from "./marks-coach.mjs";
import { chooseThrough, downloadThrough, saved, withoutPickers } from "./sitting.mjs";

/** A4 without the margins of www/styles/print.css, in CSS pixels (96 to the inch). */
const PAPER_PX = Math.floor(((210 - 2 * 12) / 25.4) * 96);

/** @type {Awaited<ReturnType<typeof startSite>>} */
let site;
/** @type {Awaited<ReturnType<typeof launchChromium>>} */
let browser;
/** @type {import("playwright-core").Page} */
let page;
/** @type {string[]} */
let troubles;

before(async () => {
  site = await startSite();
  browser = await launchChromium({ acceptDownloads: true });
  await withoutPickers(browser.context);
  await browser.context.addInitScript(() => {
    // @ts-ignore no printer here: what was on the page when it was asked for
    window.print = () => { window.printed = document.getElementById("main")?.dataset.view; };
  });
  ({ page, troubles } = await newPage(browser.context));
  await page.goto(site.address);
  await page.click('[data-action="demo"]');
  await waitForPicture(page);
  await saved(page);
  await page.click('.way[href^="#hand-over"]');
  const { bytes } = await downloadThrough(page, '[data-action="save-session"]');
  const file = JSON.parse(bytes.toString("utf8"));
  const { events } = await truthOf("before");
  file.session.clips[0].marks = events.map((/** @type {any} */ { kind, side, presentation }, /** @type {number} */ at) => ({ id: at + 1, kind, side, time: presentation, proof: "decoded" }));
  file.session.next_mark = events.length + 1;
  delete file.measures;
  await page.click('.way[href^="#clips"]');
  await chooseThrough(page, '[data-action="open-session"]', { name: "marked.wetframe", mimeType: "application/json", buffer: Buffer.from(JSON.stringify(file)) });
  await page.locator(".clip-name p", { hasText: `from ${events.length} marks` }).waitFor();
});

after(async () => {
  await browser?.close();
  await site?.close();
});

test("Hand over prints the numbers of the open clip", async () => {
  await page.click('.way[href^="#hand-over"]');
  await page.click('[data-action="print"]');
  await page.waitForFunction(() => "printed" in window);
  assert.equal(await page.evaluate(() => /** @type {any} */ (window).printed), "numbers");
  await page.waitForSelector("[data-chart=gaps] canvas");
});

test("nothing is wider than the paper, and no figure of the table is left out", async () => {
  await page.emulateMedia({ media: "print" });
  await page.setViewportSize({ width: PAPER_PX, height: 1000 });
  await page.evaluate(() => { dispatchEvent(new Event("beforeprint")); });
  const found = await page.evaluate((paper) => ({
    wide: document.documentElement.scrollWidth,
    over: [...document.querySelectorAll("#main *")].filter((element) => {
      const box = element.getBoundingClientRect();
      return box.width > 0 && box.right > paper + 0.5 && getComputedStyle(element).visibility !== "hidden" && element.closest(".only-heard") === null;
    }).map((element) => `${element.tagName} ${element.className} ends at ${element.getBoundingClientRect().right}`).slice(0, 5),
    text: document.getElementById("main")?.innerText ?? "",
    rows: document.querySelectorAll(".numbers-table tbody tr").length,
  }), PAPER_PX);
  assert.deepEqual(found.over, []);
  assert.ok(found.wide <= PAPER_PX, `${found.wide} px on paper of ${PAPER_PX}`);
  assert.ok(found.rows > 40, `${found.rows} rows`);
  for (const words of ["Stroke rate", "Propulsive gap", "Index of coordination", "95 %", "one standard deviation from frame quantisation", "Never swim alone"]) {
    assert.ok(found.text.includes(words), words);
  }
});

test("the paper is A4 with the measures' text on it", async () => {
  await page.emulateMedia({ media: null });
  await page.setViewportSize({ width: 1366, height: 768 });
  const pdf = await page.pdf({ preferCSSPageSize: true, format: "A4", printBackground: true });
  await mkdir(OUTPUT, { recursive: true });
  await writeFile(path.join(OUTPUT, "numbers.pdf"), pdf);
  const boxes = sheetsOf(pdf);
  assert.ok(boxes.length >= 2 && boxes.length <= 6, `${boxes.length} pages`);
  for (const [width, height] of boxes) assert.ok(Math.abs(width - 595) <= 1 && Math.abs(height - 842) <= 1, `${width} × ${height} points`);
});

test("the filming guide is one sheet", async () => {
  await page.click('.header a[href^="#guide"]');
  await page.locator('[data-table="gap-error"] tbody tr').first().waitFor();
  const pdf = await page.pdf({ preferCSSPageSize: true, format: "A4", printBackground: true });
  await writeFile(path.join(OUTPUT, "guide.pdf"), pdf);
  assert.equal(sheetsOf(pdf).length, 1);
  assert.deepEqual(troubles, []);
});

/** The sheets of a PDF, width and height in points. @param {Buffer} pdf */
function sheetsOf(pdf) {
  const boxes = pdf.toString("latin1").matchAll(/\/MediaBox\s*\[0 0 ([\d.]+) ([\d.]+)\]/g);
  return [...boxes].map(([, width, height]) => [Math.round(Number(width)), Math.round(Number(height))]);
}
