// Bad input: each file is refused by name, with its own message and a way on, and nothing that was marked is lost.

import assert from "node:assert/strict";
import { readFile } from "node:fs/promises";
import path from "node:path";
import { after, before, describe, test } from "node:test";
import { launchChromium, newPage, startSite } from "./harness.mjs";
import { CLIPS, addClip, chooseThrough, downloadThrough, saved, withoutPickers } from "./sitting.mjs";

/** @type {Awaited<ReturnType<typeof startSite>>} */
let site;
before(async () => { site = await startSite(); });
after(async () => { await site.close(); });

/** @param {(page: import("playwright-core").Page, troubles: string[]) => Promise<void>} task */
async function inPage(task) {
  const { context, close } = await launchChromium({ acceptDownloads: true });
  try {
    await withoutPickers(context);
    const { page, troubles } = await newPage(context);
    page.on("dialog", (dialog) => assert.fail(`a dialog opened: ${dialog.message()}`));
    await page.goto(site.address);
    await page.locator(".kept").waitFor();
    await task(page, troubles);
  } finally {
    await close();
  }
}

/** The one notice that stands, as message and hint. @param {import("playwright-core").Page} page */
async function theNotice(page) {
  const notice = page.locator(".notice.trouble");
  await notice.first().waitFor();
  assert.equal(await notice.count(), 1);
  const [message, hint] = await notice.locator("p").allInnerTexts();
  await notice.getByRole("button", { name: "Dismiss" }).click();
  return { message, hint: hint ?? "" };
}

describe("a file that is no clip this browser can show", () => {
  const cases = [
    { file: "not_a_video.mp4", says: /not a video|no video|neither|not .*(MP4|clip)/i },
    { file: "audio_only.m4a", says: /audio|no video|picture/i },
    { file: "empty.mp4", says: /empty|0 bytes/i },
    { file: "truncated_no_index.mp4", says: /index|ends|cut|incomplete/i },
    { file: "hevc.mp4", says: /HEVC/ },
    { file: "backwards.mp4", made: timesGoBackwards, says: /times go backwards/ },
  ];
  /** @param {{file: string, made?: () => Promise<Buffer>}} one */
  const given = async ({ file, made }) => (made ? { name: file, mimeType: "video/mp4", buffer: await made() } : path.join(CLIPS, file));
  for (const one of cases) {
    const { file, says } = one;
    test(file, () => inPage(async (page) => {
      await addClip(page, "constant_60.mp4");
      await chooseThrough(page, '[data-action="choose"]', await given(one));
      const { message, hint } = await theNotice(page);
      assert.ok(message.includes(file), message);
      assert.match(message, says);
      assert.notEqual(hint.trim(), "", "there is a way on");
      assert.equal(await page.locator(".clip").count(), 1, "the session is as it was");
      await saved(page);
    }));
  }

  test("all messages differ", () => inPage(async (page) => {
    const seen = new Set();
    for (const one of cases) {
      await chooseThrough(page, '[data-action="choose"]', await given(one));
      const { message } = await theNotice(page);
      seen.add(message.replaceAll(one.file, ""));
    }
    assert.equal(seen.size, cases.length);
    assert.equal(await page.locator(".kept-row").count(), 0, "no session was started for a file that is no clip");
  }));

  test("a clip that breaks off opens as far as it goes, and says so", () => inPage(async (page) => {
    await chooseThrough(page, '[data-action="choose"]', path.join(CLIPS, "truncated.mp4"));
    await page.locator(".clip").waitFor();
    assert.match(await page.locator(".notices").innerText(), /truncated\.mp4[\s\S]*(ends|cut|missing|incomplete)/i);
    await saved(page);
  }));

  test("a clip with one frame opens, and says that it can time nothing", () => inPage(async (page) => {
    await chooseThrough(page, '[data-action="choose"]', path.join(CLIPS, "single_frame.mp4"));
    await page.locator(".clip, .notice.trouble").first().waitFor();
    const text = `${await page.locator(".notices").innerText()} ${await page.locator(".clips-main").innerText()}`;
    assert.match(text, /single_frame\.mp4/);
    assert.match(text, /one frame/i);
  }));
});

describe("a file that is no session", () => {
  /** @param {string} name @param {string | Buffer} content */
  const sessionFile = (name, content) => ({ name, mimeType: "application/json", buffer: Buffer.from(content) });

  test("each refused by name with its own reason; the open session stays", () => inPage(async (page) => {
    await addClip(page, "constant_60.mp4");
    await page.click('.way[href^="#marks"]');
    await page.waitForFunction(() => document.querySelector(".marks-side")?.textContent?.includes("decoded"));
    await page.keyboard.press("a");
    await saved(page);
    await page.click('.way[href^="#hand-over"]');
    const { bytes } = await downloadThrough(page, '[data-action="save-session"]');
    await page.click('.way[href^="#clips"]');
    await page.locator('[data-action="open-session"]').waitFor();
    const good = JSON.parse(bytes.toString("utf8"));
    const document_of = (/** @type {any} */ file) => file.session ?? file.document ?? file;

    const wrongTypes = structuredClone(good);
    document_of(wrongTypes).date = 20260101;
    const noSuchFrame = structuredClone(good);
    document_of(noSuchFrame).clips[0].marks[0].time += 1;
    const newer = structuredClone(good);
    newer.version = 99;

    const cases = [
      { name: "broken.wetframe", content: "{\"format\": \"wetf", says: /JSON/ },
      { name: "picture.wetframe", content: Buffer.from([0xff, 0xd8, 0xff, 0xe0, 0, 1]), says: /not text|UTF-8|JSON/ },
      { name: "empty.wetframe", content: "", says: /empty/ },
      { name: "other.json", content: "{\"name\": \"something else\"}", says: /no wetframe session|format/ },
      { name: "types.wetframe", content: JSON.stringify(wrongTypes), says: /date/ },
      { name: "frames.wetframe", content: JSON.stringify(noSuchFrame), says: /frame/ },
      { name: "newer.wetframe", content: JSON.stringify(newer), says: /version 99/ },
    ];
    const seen = new Set();
    for (const { name, content, says } of cases) {
      await chooseThrough(page, '[data-action="open-session"]', sessionFile(name, content));
      const { message, hint } = await theNotice(page);
      assert.ok(message.includes(name), message);
      assert.match(message, says);
      assert.notEqual(hint.trim(), "", `${name}: there is a way on`);
      seen.add(message.replaceAll(name, ""));
    }
    assert.equal(seen.size, cases.length);
    assert.match(await page.locator(".clip-name").innerText(), /1 mark/);
    await saved(page);
  }));

  test("200 MB: refused before it is read", () => inPage(async (page) => {
    await page.evaluate(() => {
      const transfer = new DataTransfer();
      const part = new Uint8Array(20_000_000).fill(0x20);
      transfer.items.add(new File(Array.from({ length: 10 }, () => part), "season.wetframe"));
      window.dispatchEvent(new DragEvent("drop", { dataTransfer: transfer, cancelable: true }));
    });
    const { message } = await theNotice(page);
    assert.match(message, /season\.wetframe is 200 MB/);
  }));
});

describe("a clip moved or changed since", () => {
  test("another file is refused at the re-link by name with what differs; the marks stay", () => inPage(async (page) => {
    await addClip(page, "constant_60.mp4");
    await page.reload();
    await page.locator(".needs-file").waitFor();
    await chooseThrough(page, '[data-action="choose-again"]', path.join(CLIPS, "constant_30.mp4"));
    const other = await theNotice(page);
    assert.match(other.message, /constant_30\.mp4/);
    assert.match(other.message, /constant_60\.mp4/);
    assert.match(other.message, /frames/);
    const changed = await readFile(path.join(CLIPS, "constant_60.mp4"));
    changed[changed.length - 40] ^= 0xff;
    await chooseThrough(page, '[data-action="choose-again"]', { name: "constant_60.mp4", mimeType: "video/mp4", buffer: changed });
    const same = await theNotice(page);
    assert.match(same.message, /content/);
    assert.equal(await page.locator(".needs-file").count(), 1);
  }));
});

describe("a fault of the page itself", () => {
  test("is shown as a notice, not swallowed", () => inPage(async (page) => {
    await page.evaluate(() => { setTimeout(() => { throw new RangeError("a fault put in by the test"); }); });
    const { message } = await theNotice(page);
    assert.match(message, /a fault put in by the test/);
    await page.evaluate(() => { void Promise.reject(new Error("another one")); });
    assert.match((await theNotice(page)).message, /another one/);
  }));
});

/** A clip whose second frame comes before its first: the first run of its time-to-sample box lasts −300 ticks. */
async function timesGoBackwards() {
  const bytes = await readFile(path.join(CLIPS, "constant_30.mp4"));
  bytes.writeInt32BE(-300, bytes.indexOf("stts") + 4 + 8 + 4);
  return bytes;
}
