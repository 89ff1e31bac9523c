// How a clip's file comes, goes and comes back: dropped on the page, chosen through the browser's file picker and
// found again by its kept handle, or not found any more, and what a clip keeps while its file is away.
//
// A driver cannot work the picker's window. The page is given a picker that hands out a file of the origin's private
// file system: a real handle, kept in the real database, with the browser's own permission and file reading.

import assert from "node:assert/strict";
import path from "node:path";
import { after, before, test } from "node:test";
import { readFile } from "node:fs/promises";
import { launchChromium, newPage, startSite } from "./harness.mjs";
import { Coach, waitForFrame } from "./marks-coach.mjs";
import { CLIPS, notices, saved } from "./sitting.mjs";

/** @type {Awaited<ReturnType<typeof startSite>>} */
let site;
/** @type {Awaited<ReturnType<typeof launchChromium>>} */
let browser;

before(async () => {
  site = await startSite();
  browser = await launchChromium();
});
after(async () => {
  await browser?.close();
  await site?.close();
});

/** A page whose file picker hands out what lies in the private file system under the wished name. */
async function pageWithPicker() {
  const { page, troubles } = await newPage(browser.context);
  await page.addInitScript(() => {
    // @ts-ignore the test's own wish
    window.picked = "";
    Object.defineProperty(window, "showOpenFilePicker", {
      configurable: true,
      value: async () => {
        const folder = await navigator.storage.getDirectory();
        // @ts-ignore
        return [await folder.getFileHandle(window.picked)];
      },
    });
  });
  await page.goto(site.address);
  await page.locator(".kept").waitFor();
  return { page, troubles };
}

/** Writes a test clip into the private file system. @param {import("playwright-core").Page} page @param {string} clip @param {string} name */
async function putFile(page, clip, name) {
  const address = new URL(`/tests/clips/${clip}`, site.address).href;
  await page.evaluate(async ([from, to]) => {
    const file = await (await navigator.storage.getDirectory()).getFileHandle(to, { create: true });
    const writable = await file.createWritable();
    await writable.write(await (await fetch(from)).arrayBuffer());
    await writable.close();
    // @ts-ignore the test's own wish
    window.picked = to;
  }, [address, name]);
}

/** @param {import("playwright-core").Page} page @param {string} name */
async function removeFile(page, name) {
  await page.evaluate(async (file) => { await (await navigator.storage.getDirectory()).removeEntry(file); }, name);
}

/** @param {string} name of a test clip */
async function dropped(name) {
  return { name, data: (await readFile(path.join(CLIPS, name))).toString("base64") };
}

/** Lets files fall on the page. @param {import("playwright-core").Page} page @param {{name: string, data: string}[]} files */
function drop(page, files) {
  return page.evaluate((all) => {
    const transfer = new DataTransfer();
    for (const { name, data } of all) {
      transfer.items.add(new File([Uint8Array.from(atob(data), (letter) => letter.charCodeAt(0))], name));
    }
    for (const type of ["dragenter", "dragover", "drop"]) {
      window.dispatchEvent(new DragEvent(type, { dataTransfer: transfer, bubbles: true, cancelable: true }));
    }
  }, files);
}

test("a file that was picked is back by itself after a reload, as long as the browser still allows it", async (t) => {
  const { page, troubles } = await pageWithPicker();
  t.after(() => page.close());
  await putFile(page, "constant_60.mp4", "lane 4.mp4");
  await page.click('[data-action="choose"]');
  await page.locator(".clip", { hasText: "lane 4.mp4" }).waitFor();
  await saved(page);
  await page.click('.way[href^="#marks"]');
  await page.locator(".marks-proof-decoded").waitFor();
  await page.reload();
  await page.locator(".marks-proof-decoded").waitFor();
  await page.keyboard.press("ArrowRight");
  await page.waitForFunction(() => document.querySelector(".marks-frame-number")?.textContent === "1");
  assert.deepEqual(await notices(page), []);
  assert.deepEqual(troubles, []);
});

test("where the browser asks again, one click brings it back; refused, the clip waits for its file", async (t) => {
  const { page, troubles } = await pageWithPicker();
  t.after(() => page.close());
  await putFile(page, "constant_30.mp4", "lane 5.mp4");
  await page.click('[data-action="choose"]');
  await page.locator(".clip", { hasText: "lane 5.mp4" }).waitFor();
  await saved(page);
  // A browser that was closed and opened asks before it lets the page read again.
  await page.addInitScript(() => {
    const answers = /** @type {const} */ (["denied", "granted"]);
    // @ts-ignore how often the coach was asked
    window.asked = 0;
    FileSystemHandle.prototype.queryPermission = async () => "prompt";
    // @ts-ignore
    FileSystemHandle.prototype.requestPermission = async () => answers[window.asked++];
  });
  await page.reload();
  const again = page.locator('[data-action="reopen"]');
  await again.waitFor();
  await again.click();
  await page.waitForFunction(() => /** @type {any} */ (window).asked === 1);
  assert.equal(await page.locator(".needs-file").count(), 1, "refused: the clip still waits");
  await again.click();
  await page.locator(".needs-file").waitFor({ state: "detached" });
  await page.locator(".poster canvas").waitFor();
  assert.deepEqual(await notices(page), []);
  assert.deepEqual(troubles, []);
});

test("a file that was moved away is said to be gone; its new place is found by content", async (t) => {
  const { page, troubles } = await pageWithPicker();
  t.after(() => page.close());
  await putFile(page, "b_frames.mp4", "lane 6.mp4");
  await page.click('[data-action="choose"]');
  await page.locator(".clip", { hasText: "lane 6.mp4" }).waitFor();
  await saved(page);
  await removeFile(page, "lane 6.mp4");
  await page.reload();
  await page.locator('[data-action="reopen"]').click();
  const notice = page.locator(".notice.trouble");
  await notice.waitFor();
  const said = await notice.innerText();
  assert.match(said, /^lane 6\.mp4 is no longer where it was/);
  assert.match(said, /Choose the file from its new place/);
  await putFile(page, "b_frames.mp4", "moved.mp4");
  await page.click('[data-action="choose-again"]');
  await page.locator(".needs-file").waitFor({ state: "detached" });
  assert.deepEqual(troubles, []);
});

test("while its file is away a clip of uneven spacing keeps its frames' own times, and its marks their frames", async (t) => {
  const { page, troubles } = await newPage(browser.context);
  t.after(() => page.close());
  await page.goto(site.address);
  await page.locator(".kept").waitFor();
  await drop(page, [await dropped("bursts.mp4")]);
  await page.locator(".clip", { hasText: "bursts.mp4" }).waitFor();
  await page.click('.way[href^="#marks"]');
  await page.locator(".marks-proof-decoded").waitFor();
  await page.keyboard.press("h");
  const coach = new Coach(page);
  await coach.typeFrame(20);
  await coach.press("a");
  await coach.typeFrame(29);
  await coach.press("s");
  await coach.typeFrame(50);
  await coach.press("f");
  await coach.typeFrame(60);
  await coach.press("a");
  await saved(page);
  const timeShown = () => page.locator(".marks-clip-time").textContent();
  /** @param {number} from @param {number} to */
  const walk = async (from, to) => {
    /** @type {(string | null)[]} */
    const times = [];
    for (let frame = from; frame <= to; frame += 1) {
      await waitForFrame(page, frame);
      times.push(await timeShown());
      await coach.press("ArrowRight");
    }
    return times;
  };
  await coach.typeFrame(18);
  const withFile = await walk(18, 32);

  await page.reload();
  await page.locator(".marks-proof-no_picture").waitFor();
  await page.keyboard.press("Home");
  await waitForFrame(page, 0);
  await coach.press("ArrowDown");
  await waitForFrame(page, 20);
  await coach.press("ArrowDown");
  await waitForFrame(page, 29);
  await coach.press("ArrowLeft", 11);
  assert.deepEqual(await walk(18, 32), withFile);
  assert.ok(new Set(withFile).size > 10, withFile.join());
  // The roll stands with its middle at the playhead: a click on the selected mark's own time is a click on its sign.
  await coach.press("Shift+Equal");
  await coach.press("Home");
  await coach.press("ArrowDown");
  await waitForFrame(page, 20);
  await coach.press("Escape");
  const roll = await page.locator(".marks-roll canvas").boundingBox();
  assert.ok(roll);
  const gutter = 84;
  await page.mouse.click(roll.x + gutter + (roll.width - gutter) / 2, roll.y + 28);
  await page.waitForFunction(() => document.getElementById("status")?.textContent?.includes("entry, frame 20, selected"));
  // A number still leads to the place of its marks.
  await coach.press("End");
  await waitForFrame(page, 119);
  await page.click('.way[href^="#numbers"]');
  await page.click(".large[data-kind=stroke_rate] .numbers-value");
  await page.waitForSelector('#main[data-view="marks"]');
  await waitForFrame(page, 20);
  assert.deepEqual(troubles, []);
});

test("clips dropped on the page are added, each once; a text is refused by name", async (t) => {
  const { page, troubles } = await newPage(browser.context);
  t.after(() => page.close());
  await page.goto(site.address);
  await page.locator(".kept").waitFor();
  await drop(page, [await dropped("constant_30.mp4"), await dropped("variable.webm")]);
  await page.locator(".clip").nth(1).waitFor();
  await saved(page);
  assert.deepEqual(await page.locator(".clip h3").allInnerTexts(), ["constant_30.mp4", "variable.webm"]);
  await drop(page, [await dropped("constant_30.mp4"), { name: "notes.txt", data: btoa("Long rest between the passes.") }]);
  await page.locator(".notice.trouble").waitFor();
  assert.match((await notices(page)).join(), /notes\.txt/);
  assert.equal(await page.locator(".clip").count(), 2, "the same clip again is recognised");
  assert.deepEqual(troubles, []);
});
