// An athlete's visits side by side: kept sessions and opened files, over dates and one against another, always to be
// read only.

import assert from "node:assert/strict";
import { mkdir } from "node:fs/promises";
import path from "node:path";
import { after, before, describe, test } from "node:test";
import { OUTPUT, axeViolations, launchChromium, newPage, startSite } from "./harness.mjs";
import { chooseThrough, downloadThrough, notices, withoutPickers } from "./sitting.mjs";
import { makeSessions } from "./synthetic-visits.mjs";

/** @type {Awaited<ReturnType<typeof startSite>>} */
let site;
before(async () => { site = await startSite(); await mkdir(OUTPUT, { recursive: true }); });
after(async () => { await site.close(); });

const clip = (/** @type {object} */ more = {}) => ({ label: "before", cycles: 5, period_frames: 90, catch_later: 0, ...more });

/** Three visits of one swimmer, her label written in three ways, and one of another. */
const KEPT = [
  { id: "january", label: "Mara K", date: "2026-01-20", clips: [clip({ period_frames: 94, catch_later: 4, change: { kick: "kick" } })] },
  { id: "march", label: " mara  k", date: "2026-03-14", clips: [clip({ catch_later: 3, change: { kick: "kick" } }), clip({ label: "after", cycles: 2, change: { kick: "no_kick" } })] },
  { id: "may", label: "MARA K", date: "2026-05-02", clips: [clip({ period_frames: 86, change: { kick: "no_kick", aids: ["paddles"] } })] },
  { id: "ben", label: "Ben", date: "2026-04-01", clips: [clip({ period_frames: 80 })] },
];
const FILES = [
  { id: "june", label: "Mara K", date: "2026-06-10", clips: [clip({ period_frames: 84 })] },
  { id: "other", label: "Ben", date: "2026-06-12", clips: [clip({ period_frames: 82 })] },
  { id: "empty", label: "Mara K", date: "2026-06-20", clips: [clip({ cycles: -1 })] },
];

/**
 * @param {(page: import("playwright-core").Page, files: Record<string, {name: string, mimeType: string, buffer: Buffer}>, troubles: string[]) => Promise<void>} task
 * @param {{viewport?: {width: number, height: number}}} [options]
 */
async function inVisits(task, options = {}) {
  const { context, close } = await launchChromium({ acceptDownloads: true, ...options });
  try {
    await withoutPickers(context);
    const { page, troubles } = await newPage(context);
    await page.goto(site.address);
    await page.locator(".kept").waitFor();
    await page.evaluate(makeSessions, { sessions: KEPT, keep: true, whole: false });
    const made = await page.evaluate(makeSessions, { sessions: FILES, keep: false, whole: false });
    const files = Object.fromEntries(made.map(({ id, file }) => [id, fileOf(`${id}.wetframe`, file)]));
    await page.goto(`${site.address}#compare?session=may&face=visits`);
    await page.reload();
    await seen(page, 3);
    await task(page, files, troubles);
  } finally {
    await close();
  }
}

/** @param {string} name @param {string} text */
const fileOf = (name, text) => ({ name, mimeType: "application/json", buffer: Buffer.from(text) });

/** Waits until the chart shows so many sessions. @param {import("playwright-core").Page} page @param {number} count */
async function seen(page, count) {
  await page.locator(`.visits-plot[data-sessions="${count}"] canvas`).waitFor();
  await page.locator(".visits-values tbody tr").first().waitFor();
}

/** Everything that this device keeps, as text. @param {import("playwright-core").Page} page */
function storage(page) {
  return page.evaluate(async () => {
    const database = await new Promise((resolve, reject) => {
      const request = indexedDB.open("wetframe");
      request.onsuccess = () => resolve(request.result);
      request.onerror = () => reject(request.error);
    });
    const kept = {};
    for (const name of database.objectStoreNames) {
      kept[name] = await new Promise((resolve) => { database.transaction(name).objectStore(name).getAll().onsuccess = (event) => resolve(event.target.result); });
    }
    database.close();
    return JSON.stringify(kept);
  });
}

/** @param {import("playwright-core").Page} page */
const rows = (page) => page.locator(".visits-list tbody tr").evaluateAll((all) => all.map((row) => `${row.dataset.session} ${row.dataset.source}`));

describe("the sessions side by side", () => {
  test("are those kept here of the same swimmer, however the label is written, and files opened beside; nothing of them changes", () => inVisits(async (page, files, troubles) => {
    assert.deepEqual(await rows(page), ["may open", "march kept", "january kept"], "the newest first, without Ben");
    const kept = await storage(page);
    await chooseThrough(page, '[data-action="open-beside"]', [files.june, files.empty]);
    await seen(page, 4);
    await page.locator('.visits-list tr[data-session="empty"]', { hasText: "nothing marked yet" }).waitFor();
    assert.deepEqual(await rows(page), ["empty file", "june file", "may open", "march kept", "january kept"]);
    assert.match(await page.locator('.visits-list tr[data-session="march"]').innerText(), /with kick[\s\S]*without kick/);

    await page.selectOption('select[name="measure"]', "propulsive_gap");
    await page.selectOption('select[name="other_visit"]', "january");
    await page.locator(".visits-pair .compare-board").waitFor();
    await page.locator('tr[data-session="june"] [data-action="close-visit"]').click();
    await page.locator('tr[data-session="january"] [data-action="close-visit"]').click();
    await seen(page, 2);
    assert.equal(await storage(page), kept, "not a byte of the storage changed");

    await page.click('[data-action="bring-back"]');
    await seen(page, 3);
    assert.equal(await storage(page), kept);
    assert.deepEqual(await notices(page), []);
    assert.deepEqual(troubles, []);
  }));

  test("take another swimmer's file with a warning, refuse broken ones each by its name, and keep the good ones", () => inVisits(async (page, files) => {
    const june = files.june.buffer.toString("utf8");
    await chooseThrough(page, '[data-action="open-beside"]', [
      fileOf("cut off.wetframe", june.slice(0, june.length / 2)),
      files.other,
      fileOf("tomorrow.wetframe", june.replace('"version": 1', '"version": 99')),
      fileOf("march again.wetframe", june.replace('"id": "june"', '"id": "march"')),
      fileOf("shopping.json", '{"milk": 2}'),
      files.june,
    ]);
    await seen(page, 5);
    const told = (await notices(page)).join("\n");
    assert.match(told, /“cut off\.wetframe” cannot be opened: it is not JSON/);
    assert.match(told, /“other\.wetframe” is a session of “Ben”; the open session is of “MARA K”/);
    assert.match(told, /“tomorrow\.wetframe” cannot be opened: it has version 99/);
    assert.match(told, /“march again\.wetframe” is the session of 2026-03-14 that is here already/);
    assert.match(told, /“shopping\.json” cannot be opened: it is JSON but no wetframe session/);
    assert.deepEqual(await rows(page), ["other file", "june file", "may open", "march kept", "january kept"]);
    assert.match(await page.locator('.visits-list tr[data-session="other"]').innerText(), /Ben/, "the row names the other swimmer");
    assert.match(await page.locator('.visits-values tr[data-session="other"]').innerText(), /Ben: before/);
    await page.locator(".numbers-legend", { hasText: "another swimmer" }).waitFor();
    await page.locator(".visits-spot").focus();
    await page.keyboard.press("End");
    assert.match(String(await page.locator(".visits-spot").getAttribute("aria-label")), /^Ben: 2026-06-12/);
  }));

  test("are opened beside when dropped here, also several at once", () => inVisits(async (page, files) => {
    const dropped = await page.evaluateHandle(([june, other]) => {
      const transfer = new DataTransfer();
      transfer.items.add(new File([june], "june.wetframe"));
      transfer.items.add(new File([other], "other.wetframe"));
      return transfer;
    }, [files.june.buffer.toString("utf8"), files.other.buffer.toString("utf8")]);
    await page.dispatchEvent("#main", "drop", { dataTransfer: dropped });
    await seen(page, 5);
    assert.match(page.url(), /#compare\?session=may/, "the open session stays open");
  }));

  test("say how far a slow reading is, stop it when asked, and read the rest later", () => inVisits(async (page) => {
    await page.click('.way[href^="#clips"]');
    await page.locator('#main[data-view="clips"]').waitFor();
    const more = Array.from({ length: 30 }, (_, index) => ({ id: `more-${index}`, label: "Mara K", date: "2025-10-01", clips: [clip({ cycles: 3 })] }));
    await page.evaluate(makeSessions, { sessions: more, keep: true, whole: true });
    // A disk that is busy: a transaction that writes holds up every reading until it is let go.
    await page.evaluate(() => new Promise((resolve) => {
      indexedDB.open("wetframe").onsuccess = ({ target }) => {
        const busy = target.result.transaction(["bases", "journal"], "readwrite").objectStore("bases");
        let isHeld = true;
        const hold = () => { if (isHeld) busy.count().onsuccess = hold; else target.result.close(); };
        hold();
        Object.assign(window, { letGo: () => { isHeld = false; } });
        resolve(undefined);
      };
    }));
    await page.click('.way[href^="#compare"]');
    await page.locator(".visits-reading progress").waitFor();
    assert.match(await page.locator(".visits-reading").innerText(), /Reading 0 of 30 sessions/);
    await page.click('[data-action="stop-reading"]');
    await page.evaluate(() => /** @type {any} */ (window).letGo());
    await page.locator('[data-action="read-rest"]').waitFor();
    assert.match(await page.locator(".visits-reading").innerText(), /Stopped: 30 sessions are not read yet/);
    await seen(page, 3);
    await page.click('[data-action="read-rest"]');
    await seen(page, 33);
    await page.locator(".visits-reading").waitFor({ state: "detached" });
  }));

  test("follow what is marked in the open session", () => inVisits(async (page) => {
    const before = await page.locator('.visits-list tr[data-session="may"] td.number').innerText();
    await page.click('[data-action="undo"]'); // the last entry of the right arm: one cycle fewer of it
    await page.locator(".saved[data-saved='saved']").waitFor();
    await page.click('[data-action="undo"]');
    await page.waitForFunction((was) => document.querySelector('.visits-list tr[data-session="may"] td.number')?.textContent !== was, before);
  }));
});

describe("a measure over the dates", () => {
  test("has a row for every clip, in the numbers of the CSV", () => inVisits(async (page, files) => {
    await chooseThrough(page, '[data-action="open-beside"]', files.june);
    await seen(page, 4);
    await page.selectOption('select[name="measure"]', "cycle_rate");
    await page.selectOption('select[name="arms"]', "apart");
    await page.locator(".visits-values thead", { hasText: "cycles/min" }).waitFor();
    const dates = await page.locator(".visits-values tbody th").allInnerTexts();
    assert.deepEqual(dates, ["2026-06-10", "2026-05-02", "2026-03-14", "2026-03-14", "2026-01-20"]);
    const { name, bytes } = await downloadThrough(page, '[data-action="history-csv"]');
    assert.equal(name, "MARA-K_2026-05-02_visits.csv");
    const [head, ...lines] = bytes.toString("utf8").trim().split("\r\n").map((line) => line.split(","));
    const of = (/** @type {string} */ column, /** @type {string[]} */ line) => line[head.indexOf(column)];
    const left = lines.filter((line) => of("side", line) === "left" && of("measure", line) === "cycle_rate");
    assert.deepEqual(left.map((line) => of("date", line)), dates.toReversed());
    // 60 s over a period of 84 frames at 60 frames/s: 42.857… cycles a minute, by hand.
    const june = left.find((line) => of("session", line) === "june");
    assert.ok(june && Math.abs(Number(of("value", june)) - 3600 / 84) < 1e-9, june?.join());
    const two = left.find((line) => of("n", line) === "2");
    assert.ok(two && of("interval_low", two) === "" && Number(of("uncertainty", two)) > 0, "two cycles have the frames' error alone");
    const shown = await page.locator('.visits-values tr[data-session="june"] td.number').first().innerText();
    assert.ok(Math.abs(Number(shown) - 3600 / 84) < 0.06, shown);
    assert.match(await page.locator('.visits-values tr[data-session="may"] .visits-changes').innerText(), /aids: none → paddles/);
  }));

  test("is walked by keys; every point tells all and leads to its session", () => inVisits(async (page) => {
    await page.locator(".visits-spot").focus();
    await page.keyboard.press("Home");
    assert.match(String(await page.locator(".visits-spot").getAttribute("aria-label")), /^2026-01-20, before: [\d.]+ strokes\/min, 95 %: [\d.]+ to [\d.]+, n 10$/);
    await page.keyboard.press("ArrowRight");
    await page.keyboard.press("ArrowRight");
    const spot = String(await page.locator(".visits-spot").getAttribute("aria-label"));
    assert.match(spot, /^2026-03-14 \(clip 2 of 2\), after: /);
    assert.match(spot, /stated otherwise: kick: with kick → without kick/);
    assert.equal(await page.locator("#status").innerText(), spot, "a screen reader hears it");
    await page.keyboard.press("Enter");
    await page.locator('#main[data-view="numbers"]').waitFor();
    assert.match(page.url(), /session=march&clip=2/);
    await page.goBack();
    await seen(page, 3);
  }));

  test("opens the session of a file as its own when its point is chosen", () => inVisits(async (page, files) => {
    await chooseThrough(page, '[data-action="open-beside"]', files.june);
    await seen(page, 4);
    await page.locator('.visits-values tr[data-session="june"] button').click();
    await page.locator('#main[data-view="numbers"]').waitFor();
    assert.match(page.url(), /session=june/);
  }));
});

describe("one visit against another", () => {
  test("gives the numbers of the comparison of both, and says what else differs", () => inVisits(async (page) => {
    await page.selectOption('select[name="other_visit"]', "january");
    await page.locator('.visits-pair .compare-sets summary', { hasText: "2026-01-20" }).waitFor();
    const said = await page.locator(".visits-pair .compare-sets-said").innerText();
    assert.match(said, /2026-01-20, before[\s\S]*2026-05-02, before/);
    const kinds = await page.locator(".visits-pair [data-confounder]").evaluateAll((all) => all.map((one) => one.dataset.confounder));
    for (const kind of ["different_dates", "operators_not_known", "different_kick", "different_aids"]) assert.ok(kinds.includes(kind), `${kind} in ${kinds}`);
    // The same two clips in one session, compared by the same module: the numbers must be the same to the last digit.
    const expected = await page.evaluate(compareInOne, { sessions: KEPT.filter(({ id }) => id === "january" || id === "may") });
    const shown = await page.locator('.visits-pair .compare-table tr[data-kind="stroke_rate"][data-side=""] [data-set]').evaluateAll((all) => all.map((one) => one.textContent));
    for (const [index, value] of [expected.before, expected.after].entries()) {
      const decimals = String(shown[index]).split(".")[1]?.length ?? 0;
      assert.equal(shown[index], value.toFixed(decimals), JSON.stringify(expected));
    }
    assert.ok(!kinds.includes("different_athletes"), "three spellings are one swimmer");
  }));

  test("leads from a cycle to its frames in its own session", () => inVisits(async (page) => {
    await page.selectOption('select[name="other_visit"]', "january");
    await page.locator('.visits-pair .compare-sets summary', { hasText: "2026-01-20" }).waitFor();
    await page.locator('.visits-pair .compare-table tr[data-kind="cycle_duration"][data-side=""] [data-set="before"]').click();
    await page.locator(".numbers-frames:popover-open li button").first().click();
    await page.locator('#main[data-view="marks"]').waitFor();
    assert.match(page.url(), /session=january&clip=1/);
  }));
});

describe("the face", () => {
  test("is accessible in both themes and as wide as the window at 1366 × 768 and 390 × 844", () => inVisits(async (page, files) => {
    await chooseThrough(page, '[data-action="open-beside"]', [files.june, files.other]);
    await seen(page, 5);
    await page.locator(".visits-pair .compare-board").waitFor();
    /** @type {string[]} */
    const found = [];
    for (const [width, height] of [[1366, 768], [390, 844]]) {
      await page.setViewportSize({ width, height });
      for (const theme of ["light", "dark"]) {
        if ((await page.evaluate(() => document.documentElement.dataset.theme ?? "light")) !== theme) await page.click('[data-action="theme"]');
        found.push(...(await axeViolations(page)).map((violation) => `${width}, ${theme}: ${violation}`));
        await page.screenshot({ path: path.join(OUTPUT, `visits-${width}-${theme}.png`) });
        await page.screenshot({ path: path.join(OUTPUT, `visits-${width}-${theme}-full.png`), fullPage: true });
      }
      const wide = await page.evaluate(() => document.documentElement.scrollWidth);
      assert.ok(wide <= width, `${wide} px wide at ${width}`);
    }
    assert.deepEqual(found, []);
  }));

  test("prints chart and values without colour, without its buttons", () => inVisits(async (page) => {
    await page.locator(".visits-pair .compare-board").waitFor();
    await page.emulateMedia({ media: "print" });
    await page.pdf({ path: path.join(OUTPUT, "visits.pdf"), format: "A4" });
    await page.screenshot({ path: path.join(OUTPUT, "visits-print.png"), fullPage: true });
    for (const button of ["open-beside", "history-csv", "copy-history", "close-visit"]) {
      assert.equal(await page.locator(`[data-action="${button}"]`).first().isVisible(), false, button);
    }
    assert.ok(await page.locator(".visits-values tbody tr").first().isVisible());
    await page.emulateMedia({ media: "screen" });
  }));

  test("says what to do while there is nothing to lay side by side", async () => {
    const { context, close } = await launchChromium();
    try {
      const { page } = await newPage(context);
      await page.goto(site.address);
      await page.locator(".kept").waitFor();
      await page.evaluate(makeSessions, { sessions: [{ id: "alone", label: "", date: "2026-05-02", clips: [clip()] }, { id: "also", label: "", date: "2026-05-03", clips: [clip()] }], keep: true, whole: false });
      await page.goto(`${site.address}#compare?session=alone&face=visits`);
      await page.reload();
      await page.getByText("has no swimmer's label", { exact: false }).waitFor();
      await page.locator('.visits-plot[data-sessions="1"] canvas').waitFor();
      await page.getByText("Another session with marked cycles is needed", { exact: false }).waitFor();
    } finally {
      await close();
    }
  });
});

/** Runs in the page: both sessions' first clips in one session, compared. @param {{sessions: any[]}} wish */
async function compareInOne({ sessions }) {
  const { Sitting } = await import(new URL("wasm/page.js", document.baseURI).href);
  const { DeviceStorage } = await import(new URL("sitting/storage.js", document.baseURI).href);
  const storage = await DeviceStorage.open();
  const one = Sitting.create("in-one", "2026-05-02");
  let next = 0;
  for (const { id } of sessions) {
    const { base_json, lines } = await storage.read(id);
    const sitting = Sitting.replay(base_json, lines);
    const [record] = sitting.session_view().clips;
    one.apply({
      command: "add_clip",
      clip: { ...Object.fromEntries(["name", "label", "size_bytes", "fingerprint", "container", "codec", "width", "height", "rotation_deg", "timescale", "capture_rate_fps"].map((field) => [field, record[field]])), frame_times: sitting.frame_times(record.id) },
    });
    next += 1;
    for (const { kind, side, time, proof } of sitting.marking_view(record.id).marks) one.apply({ command: "add_mark", clip: next, kind, side, time, proof });
    sitting.free();
  }
  storage.close();
  const set = (/** @type {number} */ clip) => ({ parts: [{ clip, from: null, to: null }], breathing: "all" });
  const rate = one.comparison(set(1), set(2), false, []).measures.find((/** @type {any} */ measure) => measure.kind === "stroke_rate" && measure.side === null);
  one.free();
  return { before: rate.before.mean, after: rate.after.mean };
}
