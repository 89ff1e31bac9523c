// A clip whose index takes long to read: how far it is is seen, the page goes on meanwhile, and it can be stopped.

import assert from "node:assert/strict";
import { mkdtemp, rm, writeFile } from "node:fs/promises";
import { tmpdir } from "node:os";
import path from "node:path";
import { after, before, test } from "node:test";
import { launchChromium, newPage, startSite } from "./harness.mjs";
import { largeWebm } from "./large-webm.mjs";
import { CLIPS, addClip, chooseThrough, notices, withoutPickers } from "./sitting.mjs";

const NAME = "long.webm";

/** @type {Awaited<ReturnType<typeof startSite>>} */
let site;
/** @type {Awaited<ReturnType<typeof launchChromium>>} */
let browser;
/** @type {string} */
let folder;

before(async () => {
  site = await startSite();
  browser = await launchChromium();
  await withoutPickers(browser.context);
  folder = await mkdtemp(path.join(tmpdir(), "wetframe-loading-"));
  await writeFile(path.join(folder, NAME), largeWebm({ frames: 50_000, frame_bytes: 700 }));
});
after(async () => {
  await browser?.close();
  await site?.close();
  if (folder) await rm(folder, { recursive: true });
});

/** What the page's bar said, frame by frame of the page: a page that stands still says nothing. */
function watch() {
  const seen = { values: /** @type {number[]} */ ([]), of: 0 };
  // @ts-ignore the test's own
  window.seen = seen;
  const turn = () => {
    const bar = /** @type {HTMLProgressElement|null} */ (document.querySelector(".on-its-way progress[value]"));
    if (bar && bar.value !== seen.values.at(-1)) seen.values.push(bar.value);
    if (bar) seen.of = bar.max;
    requestAnimationFrame(turn);
  };
  turn();
}

test("a bar says how far it is while the page goes on, and Stop ends it with nothing begun", async () => {
  const { page, troubles } = await newPage(browser.context);
  await page.goto(site.address);
  await page.locator('[data-action="choose"]').waitFor();
  await page.evaluate(watch);
  await chooseThrough(page, '[data-action="choose"]', path.join(folder, NAME));
  // @ts-ignore the test's own
  await page.waitForFunction(() => window.seen.values.length >= 10);
  const bar = page.getByRole("progressbar", { name: `Opening ${NAME}…` });
  const stop = page.getByRole("button", { name: `Stop opening ${NAME}` });
  assert.equal(await bar.count(), 1);
  await stop.click();
  await page.waitForFunction((name) => document.getElementById("status")?.textContent === `Opening ${name} was stopped.`, NAME);
  assert.equal(await bar.count(), 0);
  assert.deepEqual(await notices(page), []);

  // @ts-ignore the test's own
  const { values, of } = await page.evaluate(() => window.seen);
  assert.ok(values.every((/** @type {number} */ value, /** @type {number} */ index) => index === 0 || value > values[index - 1]), `never backwards: ${values}`);
  assert.ok(values.at(-1) < of, "it was stopped on the way");

  // Nothing of it stays in the way of the next clip.
  await addClip(page, "constant_60.mp4");
  assert.equal(await page.locator(".clip").count(), 1);
  assert.deepEqual(troubles, []);
  await page.close();
});

test("of a session's clip whose file is chosen again: Stop leaves the session as it was", async () => {
  const { page, troubles } = await newPage(browser.context);
  await page.goto(site.address);
  await addClip(page, "constant_60.mp4");
  await page.reload();
  await page.locator('[data-action="choose-again"]').waitFor();
  await chooseThrough(page, '[data-action="choose-again"]', path.join(folder, NAME));
  await page.locator(".on-its-way progress[value]").waitFor();
  await page.click('[data-action="stop-opening"]');
  await page.locator(".on-its-way").waitFor({ state: "detached" });
  assert.deepEqual(await notices(page), []);
  await chooseThrough(page, '[data-action="choose-again"]', path.join(CLIPS, "constant_60.mp4"));
  await page.locator(".needs-file").waitFor({ state: "detached" });
  assert.deepEqual(troubles, []);
  await page.close();
});
