// The frame of the page and its first screen, driven like a coach would: sessions in the list, the sitting in order,
// themes, phones, a sub-path.

import assert from "node:assert/strict";
import { mkdir, readFile } from "node:fs/promises";
import path from "node:path";
import { after, before, describe, test } from "node:test";
import { OUTPUT, ROOT, axeViolations, launchChromium, newPage, startSite } from "./harness.mjs";
import { CLIPS, addClip, chooseThrough, downloadThrough, notices, saved, withoutPickers } from "./sitting.mjs";

/** @type {Awaited<ReturnType<typeof startSite>>} */
let site;
before(async () => { site = await startSite(); });
after(async () => { await site.close(); });

/**
 * @param {(page: import("playwright-core").Page, troubles: string[]) => Promise<void>} task
 * @param {{address?: string, viewport?: {width: number, height: number}}} [options]
 */
async function inPage(task, { address = site.address, ...options } = {}) {
  const { context, close } = await launchChromium({ acceptDownloads: true, ...options });
  try {
    await withoutPickers(context);
    const { page, troubles } = await newPage(context);
    await page.goto(address);
    await page.locator(".kept").waitFor();
    await task(page, troubles);
  } finally {
    await close();
  }
}

/** @param {import("playwright-core").Page} page @param {string} label */
async function nameSwimmer(page, label) {
  await page.fill('input[name="athlete_label"]', label);
  await page.press('input[name="athlete_label"]', "Enter");
  await page.locator(".kept-label", { hasText: label }).waitFor();
  await saved(page);
}

describe("sessions kept on this device", () => {
  test("are listed, opened, renamed, duplicated, saved to a file, deleted", () => inPage(async (page, troubles) => {
    await addClip(page, "constant_60.mp4");
    await nameSwimmer(page, "Lane 4");
    await page.click('[data-action="new-session"]');
    await page.locator(".lead").waitFor();
    const rows = page.locator(".kept-row");
    assert.equal(await rows.count(), 1);
    assert.match(await rows.first().innerText(), /Lane 4[\s\S]*1 clip: constant_60\.mp4[\s\S]*no cycle yet/);

    await rows.first().locator('[data-action="rename"]').click();
    assert.equal(await page.evaluate(() => document.activeElement?.getAttribute("name")), "label", "the keyboard is in the new field");
    await page.keyboard.press("Control+A");
    await page.keyboard.type("Lane 7");
    await page.keyboard.press("Enter");
    await page.locator(".kept-label", { hasText: "Lane 7" }).waitFor();

    await rows.first().locator('[data-action="duplicate"]').click();
    await page.locator(".kept-label", { hasText: "Lane 7 (copy)" }).waitFor();
    assert.equal(await rows.count(), 2);

    const { name, bytes } = await downloadThrough(page, '.kept-row:has-text("(copy)") [data-action="export"]');
    assert.match(name, /^Lane-7-copy_\d{4}-\d\d-\d\d_session\.wetframe$/);
    assert.equal(JSON.parse(bytes.toString("utf8")).format, "wetframe");

    const copy = page.locator('.kept-row:has-text("(copy)")');
    await copy.locator('[data-action="delete"]').click();
    assert.match(await copy.innerText(), /Delete “Lane 7 \(copy\)” of \d{4}-\d\d-\d\d and all its marks/);
    await copy.locator('[data-action="delete-yes"]').click();
    await copy.waitFor({ state: "detached" });
    assert.equal(await rows.count(), 1);

    await page.locator(".kept-open", { hasText: "Lane 7" }).click();
    await page.locator("h1", { hasText: "Lane 7" }).waitFor();
    assert.deepEqual(troubles, []);

    // The duplicate's file comes back as a session of its own beside the first.
    await chooseThrough(page, '[data-action="open-session"]', { name, mimeType: "application/json", buffer: bytes });
    await page.locator("h1", { hasText: "Lane 7 (copy)" }).waitFor();
    await rows.nth(1).waitFor();
    assert.equal(await rows.count(), 2);
  }));

  test("a session's clip is brought back by its file, under whatever name", () => inPage(async (page) => {
    await addClip(page, "constant_60.mp4");
    await page.reload();
    await page.locator(".needs-file").waitFor();
    const again = { name: "copied from the phone.mp4", mimeType: "video/mp4", buffer: await bytesOf("constant_60.mp4") };
    await chooseThrough(page, '[data-action="choose-again"]', again);
    await page.locator(".needs-file").waitFor({ state: "detached" });
    assert.equal(await page.locator(".clip").count(), 1);
    assert.deepEqual(await notices(page), []);
  }));

  test("the demo's clips come back with one click after a reload", () => inPage(async (page) => {
    await page.click('[data-action="demo"]');
    await page.locator('#main[data-view="marks"]').waitFor();
    await saved(page);
    await page.click('.way[href^="#clips"]');
    await page.locator(".clip").nth(1).waitFor();
    await page.reload();
    const again = page.locator('[data-action="reopen"]');
    await again.first().waitFor();
    assert.equal(await again.count(), 2);
    await again.first().click();
    await page.locator('.clip[data-clip="1"] .needs-file').waitFor({ state: "detached" });
    assert.equal(await again.count(), 1);
    assert.deepEqual(await notices(page), []);
  }));

  test("undo and redo say what they would do, and the fields follow", () => inPage(async (page) => {
    await addClip(page, "constant_60.mp4");
    await nameSwimmer(page, "Lane 4");
    const undo = page.locator('[data-action="undo"]');
    assert.ok((await undo.innerText()).length > "Undo ".length, "undo says what");
    await page.locator("h1").click();
    await page.keyboard.press("Control+z");
    await page.locator("h1", { hasText: "Unnamed swimmer" }).waitFor();
    assert.equal(await page.inputValue('input[name="athlete_label"]'), "");
    await page.keyboard.press("Control+Shift+z");
    await page.locator("h1", { hasText: "Lane 4" }).waitFor();
  }));
});

describe("what is stated about a clip", () => {
  test("the filmed rate says what it does to the seconds; nonsense is marked and not taken", () => inPage(async (page) => {
    await addClip(page, "constant_30.mp4");
    const rate = page.locator('input[name="filmed_rate"]');
    await rate.fill("240");
    await rate.press("Enter");
    await page.getByText("plays 8.00 times slower than life", { exact: false }).waitFor();
    await page.getByText("±1.7 ms", { exact: false }).waitFor();
    await rate.fill("fast");
    await rate.press("Enter");
    assert.equal(await rate.getAttribute("aria-invalid"), "true");
    await page.getByText("Type a number", { exact: false }).first().waitFor();
    await page.reload();
    assert.equal(await page.locator('input[name="filmed_rate"]').inputValue(), "240");
  }));

  test("a rate that the camera wrote into the file is offered, and one click makes all seconds true", () => inPage(async (page) => {
    await addClip(page, "capture_rate.mp4");
    const card = page.locator(".clip");
    // 60 frames, filmed at 240 frames/s and stretched to 30: two seconds of playback are a quarter of a second.
    await card.getByText("2.00 s", { exact: true }).waitFor();
    await card.locator('[data-action="use-capture-rate"]').click();
    await card.getByText("0.25 s", { exact: true }).waitFor();
    assert.equal(await page.inputValue('input[name="filmed_rate"]'), "240");
    await page.click('.way[href^="#marks"]');
    await page.locator(".marks-proof-decoded").waitFor();
    assert.match(await page.locator(".marks-frame").innerText(), /240/, "the choice stands beside the frame");
    await page.keyboard.press("End");
    await page.waitForFunction(() => document.querySelector(".marks-frame-number")?.textContent === "59");
    assert.match(await page.locator(".marks-clip-time").innerText(), /0\.24[56]/, "59/240 s");
  }));

  test("gaps where the camera dropped frames are counted on the clip's card", () => inPage(async (page) => {
    await addClip(page, "missed_frames.mp4");
    await page.getByText("3 gaps in the frame times where the camera probably dropped frames", { exact: false }).waitFor();
  }));

  test("what to settle before filming a minor stands before the first clip, once, and can be read again", () => inPage(async (page) => {
    const notice = page.getByRole("region", { name: "Before you film anyone under 18" });
    assert.match(await notice.innerText(), /written consent[\s\S]*safeguarding rules come first/);
    await page.getByRole("button", { name: "I have read this" }).click();
    await notice.waitFor({ state: "detached" });
    await page.reload();
    await page.locator(".kept").waitFor();
    assert.equal(await notice.count(), 0);
    await page.locator(".minors-again").click();
    await notice.waitFor();
  }));

  test("a flume without its speed is not put into the session", () => inPage(async (page) => {
    await addClip(page, "constant_60.mp4");
    await page.selectOption('select[name="speed"]', "flume");
    await page.locator('.clip input[name="flume_speed"]').waitFor();
    assert.match(await page.locator("summary").innerText(), /speed not known/);
    await page.fill('.clip input[name="flume_speed"]', "1,25");
    await page.press('.clip input[name="flume_speed"]', "Enter");
    await page.locator("summary", { hasText: "flume 1.25 m/s" }).waitFor();
  }));
});

describe("the comparison of a clip's pictures", () => {
  test("shows how far it is, stops when asked to, and tells what it found", () => inPage(async (page, troubles) => {
    // The demo's clip is long enough that a hand can stop it on the way.
    await chooseThrough(page, '[data-action="choose"]', path.join(ROOT, "demo/before.mp4"));
    await page.locator(".clip", { hasText: "before.mp4" }).waitFor();
    await saved(page);
    const changes = await page.locator(".saved").getAttribute("title");
    await page.click('[data-action="check"]');
    await page.waitForFunction(() => (/** @type {HTMLProgressElement | null} */ (document.querySelector(".clip progress"))?.value ?? 0) > 0);
    assert.equal(await page.locator(".clip progress").getAttribute("max"), "864");
    assert.match(await page.locator(".clip-part").first().innerText(), /frame \d+ of 864/);
    await page.click('[data-action="cancel-check"]');
    await page.locator('[data-action="check"]').waitFor();
    assert.match(await page.locator("#status").innerText(), /cancelled; nothing was changed/);
    assert.equal(await page.locator(".saved").getAttribute("title"), changes);

    await addClip(page, "copied_frames.mp4");
    const card = page.locator(".clip", { hasText: "copied_frames.mp4" });
    await card.locator('[data-action="check"]').click();
    await card.getByText(/\d+ frames? repeats?/).waitFor();
    const told = Number(/(\d+) frames? repeats?/.exec(await card.innerText())?.[1]);
    const { clips } = JSON.parse(await readFile(path.join(CLIPS, "clips.json"), "utf8"));
    assert.equal(told, clips.find((/** @type {{file: string}} */ clip) => clip.file === "copied_frames.mp4").duplicated_frames.length);
    await saved(page);
    await page.reload();
    await page.getByText(new RegExp(`${told} frames? repeats?`)).first().waitFor();
    assert.deepEqual(troubles, []);
  }));
});

describe("the frame", () => {
  test("shows a session's every part in both themes without an accessibility violation", () => inPage(async (page) => {
    await mkdir(OUTPUT, { recursive: true });
    /** @type {string[]} */
    const found = [];
    const look = async (/** @type {string} */ name) => {
      for (const theme of ["light", "dark"]) {
        await page.evaluate((chosen) => { document.documentElement.dataset.theme = chosen; }, theme);
        found.push(...(await axeViolations(page)).map((violation) => `${name}, ${theme}: ${violation}`));
        await page.screenshot({ path: path.join(OUTPUT, `${name}-${theme}.png`) });
      }
    };
    await look("welcome");
    await addClip(page, "constant_60.mp4");
    await look("clips");
    await page.click('[data-session] [data-action="delete"]');
    await look("clips-question");
    for (const [way, name] of [["#marks", "marks"], ["#numbers", "numbers"], ["#compare", "compare"], ["#hand-over", "hand-over"]]) {
      await page.click(`.way[href^="${way}"]`);
      await page.locator(`#main[data-view="${name}"]`).waitFor();
      await look(name);
    }
    for (const name of ["guide", "keys"]) {
      await page.click(`.header a[href^="#${name}"]`);
      await page.locator(`#main[data-view="${name}"]`).waitFor();
      await look(name);
    }
    assert.deepEqual(found, []);
  }));

  test("marking needs no scrolling at 1366 × 768; nothing scrolls sideways at 390 × 844", () => inPage(async (page) => {
    await addClip(page, "constant_60.mp4");
    await page.click('.way[href^="#marks"]');
    await page.locator('#main[data-view="marks"] canvas').first().waitFor();
    const room = await page.evaluate(() => ({ needs: document.documentElement.scrollHeight, has: innerHeight }));
    assert.ok(room.needs <= room.has, `${room.needs} px in a window of ${room.has}`);
    await page.setViewportSize({ width: 390, height: 844 });
    for (const way of ["#clips", "#marks", "#numbers", "#compare", "#hand-over"]) {
      await page.click(`.way[href^="${way}"]`);
      await page.locator(`#main[data-view="${way.slice(1)}"]`).waitFor();
      const wide = await page.evaluate(() => document.documentElement.scrollWidth);
      assert.ok(wide <= 390, `${way} is ${wide} px wide`);
    }
  }));

  test("the back button walks through the sitting", () => inPage(async (page) => {
    await addClip(page, "constant_60.mp4");
    await page.click('.way[href^="#hand-over"]');
    await page.locator('#main[data-view="hand-over"]').waitFor();
    await page.keyboard.press("?");
    await page.locator('#main[data-view="keys"]').waitFor();
    await page.goBack();
    await page.locator('#main[data-view="hand-over"]').waitFor();
    await page.goBack();
    await page.locator('#main[data-view="clips"]').waitFor();
  }));

  test("works under a sub-path of a shared host", async () => {
    const shared = await startSite({ under: "/club/swimming/" });
    try {
      await inPage(async (page, troubles) => {
        await addClip(page, "constant_60.mp4");
        await page.click('.way[href^="#marks"]');
        await page.locator('#main[data-view="marks"] canvas').first().waitFor();
        await page.click('.header a[href^="#guide"]');
        await page.locator('[data-table="gap-error"] tbody tr').first().waitFor();
        assert.deepEqual(troubles, []);
        const outside = shared.requests.filter(({ url }) => !url.startsWith("/club/swimming/"));
        assert.deepEqual(outside, []);
      }, { address: shared.address });
    } finally {
      await shared.close();
    }
  });

  test("the filming guide's table is what the formula gives", () => inPage(async (page) => {
    await page.click('.header a[href^="#guide"]');
    const rows = page.locator('[data-table="gap-error"] tbody tr');
    await rows.first().waitFor();
    // One gap: 1000/(fps·√6) ms, the difference of two times uniform over a frame each (variance d²/12).
    assert.deepEqual(
      await rows.evaluateAll((all) => all.map((row) => [row.children[0].textContent, row.children[2].textContent])),
      [25, 30, 50, 60, 120, 240].map((rate) => [`${rate}/s`, `±${(1000 / (rate * Math.sqrt(6))).toFixed(1)} ms`]),
    );
  }));
});

describe("the hand-over", () => {
  test("gives the session file, both tables, and says when the file is out of date", () => inPage(async (page) => {
    await addClip(page, "constant_60.mp4");
    await nameSwimmer(page, "Ängström, Lane 4");
    await page.click('.way[href^="#marks"]');
    await page.waitForFunction(() => document.querySelector(".marks-side")?.textContent?.includes("decoded"));
    await page.keyboard.press("a");
    await saved(page);
    await page.click('.way[href^="#hand-over"]');
    await page.getByText("Not saved to a file yet.").waitFor();
    const file = await downloadThrough(page, '[data-action="save-session"]');
    assert.match(file.name, /^Angstrom-Lane-4_\d{4}-\d\d-\d\d_session\.wetframe$/);
    await page.getByText("The last file that you saved is up to date.").waitFor();
    const marks = await downloadThrough(page, '[data-action="save-marks"]');
    assert.match(marks.name, /_marks\.csv$/);
    assert.match(marks.bytes.toString("utf8"), /entry/);
    const measures = await downloadThrough(page, '[data-action="save-measures"]');
    assert.match(measures.name, /_measures\.csv$/);
    assert.match(measures.bytes.toString("utf8"), /^clip,side,cycle,breathing,measure,value,unit,uncertainty,n,reason\r\n/);
    await page.click('[data-action="undo"]');
    await page.getByText("1 change since the last file.").waitFor();
  }));
});

/** @param {string} name */
async function bytesOf(name) {
  return readFile(path.join(CLIPS, name));
}
