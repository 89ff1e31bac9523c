// Marking again, by the keyboard alone on the demo: the first marks stand off the truth by known frames, the second
// ones by others, and the page must find the hand's error that follows from exactly these frames.

import { mkdir, readFile } from "node:fs/promises";
import path from "node:path";
import { after, before, test } from "node:test";
import assert from "node:assert/strict";
import { OUTPUT, axeViolations, launchChromium, newPage, startSite } from "./harness.mjs";
import { Coach, countPointerUses, openDemo, question, truthOf, waitForPicture } from "./marks-coach.mjs";
import { withoutPickers } from "./sitting.mjs";

/** @typedef {{action: string, frame: number, first: number, second: number}} Event */

const FPS = 60;
const KINDS = ["entry", "catch", "mid_pull", "exit"];
/** @type {Record<string, string>} */
const KEY = {
  mark_left_entry: "KeyA", mark_left_catch: "KeyS", mark_left_mid_pull: "KeyD", mark_left_exit: "KeyF",
  mark_pass: "Digit4", mark_both_kick_out_start: "Digit5", mark_left_mouth_clear: "KeyE",
  mark_right_entry: "KeyJ", mark_right_catch: "KeyK", mark_right_mid_pull: "KeyL", mark_right_exit: "Semicolon",
};
/** Frames off the truth, over and over: the first marking's, and the second's. */
const FIRST_OFF = [0, 1, -1, 0, 2, -1, 0];
const SECOND_OFF = [1, -2, 0, 2, -1, 1, 0, -1, 2, 0, 1];

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
/** @type {Event[]} */
let events;

before(async () => {
  site = await startSite();
  browser = await launchChromium();
  await withoutPickers(browser.context);
  ({ page, troubles } = await newPage(browser.context));
  await countPointerUses(page);
  coach = new Coach(page);
  await openDemo(page, site.address);
  const truth = await truthOf("before");
  // Four cycles of the left arm and what lies between their entries.
  const entries = truth.events.filter((/** @type {any} */ event) => event.kind === "entry" && event.side === "left").map((/** @type {any} */ event) => event.frame).sort((/** @type {number} */ a, /** @type {number} */ b) => a - b);
  const [start, end] = [entries[0], entries[4]];
  events = ["left", "right"].flatMap((side) => KINDS.flatMap((kind) => {
    const of = truth.events.filter((/** @type {any} */ event) => event.kind === kind && event.side === side);
    return of.filter((/** @type {any} */ event) => event.frame >= start && event.frame <= end)
      .map((/** @type {any} */ event) => ({ action: `mark_${side}_${kind}`, frame: event.frame }));
  })).concat([
    // Events without a side, of both legs and of the head: one of each, too few for a figure.
    { action: "mark_pass", frame: start + 30 },
    { action: "mark_both_kick_out_start", frame: start + 50 },
    { action: "mark_left_mouth_clear", frame: start + 70 },
  ]).map((event, place) => ({ ...event, first: event.frame + FIRST_OFF[place % FIRST_OFF.length], second: event.frame + SECOND_OFF[place % SECOND_OFF.length] }));
});

after(async () => {
  await browser?.close();
  await site?.close();
});

/** Which event a question is about: of its kind and side only one comes so soon. @param {{asks: string, frame: number}} asked @returns {Event} */
function meant(asked) {
  const near = events.filter(({ action, first }) => action === asked.asks && first >= asked.frame && first <= asked.frame + 0.5 * FPS);
  assert.equal(near.length, 1, `${asked.asks} after frame ${asked.frame}: ${near.length} events within half a second`);
  return near[0];
}

/** The next question once it is another than before. @param {number} done */
async function asked(done) {
  await page.waitForFunction((before) => {
    const panel = document.querySelector(".marks-guided");
    return panel instanceof HTMLElement && (panel.dataset.remarkDone !== undefined || panel.dataset.done === String(before));
  }, done);
  return await question(page);
}

/** Answers by stepping to the second marking's frame and the asked event's own key or Enter. @param {number} done @param {boolean} [byItsKey] */
async function answer(done, byItsKey = false) {
  const now = await asked(done);
  assert.ok(now, `a question after ${done}`);
  const event = meant(now);
  await coach.stepTo(event.second);
  await coach.press(byItsKey ? KEY[event.action] : "Enter");
  return event;
}

/** Pixels of the roll's lanes that have the colour of an arm. */
async function armPixels() {
  return await page.evaluate(async () => {
    const canvas = /** @type {HTMLCanvasElement} */ (document.querySelector(".marks-roll canvas"));
    await new Promise((resolve) => requestAnimationFrame(() => requestAnimationFrame(resolve)));
    const style = getComputedStyle(document.documentElement);
    const probe = document.createElement("canvas").getContext("2d");
    if (!probe) throw new Error("no 2d context");
    const pixelsOf = (/** @type {string} */ name) => {
      probe.fillStyle = style.getPropertyValue(name).trim();
      probe.fillRect(0, 0, 1, 1);
      return probe.getImageData(0, 0, 1, 1).data;
    };
    const colours = ["--arm-left", "--arm-right"].map(pixelsOf);
    const pen = canvas.getContext("2d");
    const gutter = Math.round(90 * devicePixelRatio);
    const { data } = /** @type {CanvasRenderingContext2D} */ (pen).getImageData(gutter, 0, canvas.width - gutter, canvas.height);
    let count = 0;
    for (let at = 0; at < data.length; at += 4) {
      if (colours.some(([red, green, blue]) => data[at] === red && data[at + 1] === green && data[at + 2] === blue)) count += 1;
    }
    return count;
  });
}

/** @param {string} name */
async function picture(name) {
  await mkdir(OUTPUT, { recursive: true });
  await page.screenshot({ path: path.join(OUTPUT, `remark-${name}.png`) });
}

test("without a second marking the page says that the hand's error is not known, and offers a passage", { timeout: 240_000 }, async () => {
  await coach.press("KeyH");
  await page.waitForSelector(".marks-guided-off");
  for (const { action, first } of events) {
    await coach.typeFrame(first);
    await coach.press(KEY[action]);
    await page.waitForFunction((frame) => document.getElementById("status")?.textContent?.includes(`marked on frame ${frame}`), first);
  }
  await coach.press("Shift+KeyM");
  await page.waitForSelector(".remark-panel");
  assert.equal(await page.locator("[data-remark-marks]").getAttribute("data-remark-marks"), String(events.length));
  await picture("choose");
  const notKnown = await page.evaluate(async () => (await import("/words/remark.js")).remark.not_known("6.8"));
  assert.match(notKnown, /not known.*±6\.8 ms/);
});

test("the comparison's way to it opens the choice, once", async () => {
  await coach.press("Shift+KeyM");
  await page.waitForSelector(".remark-panel", { state: "detached" });
  const here = page.url();
  const go = async (/** @type {string} */ way) => {
    await page.evaluate(({ url, to }) => { location.hash = new URL(url).hash.replace("marks", to); }, { url: here, to: way });
    await page.waitForSelector(`main[data-view="${way}"] .view > *`);
  };
  // What the button beside a comparison does.
  await page.evaluate(async () => (await import("/marks/wish.js")).askToMarkAgain());
  await go("numbers");
  await go("marks");
  await page.waitForSelector('[data-remark="start"]:not([disabled])');
  await go("numbers");
  await go("marks");
  await page.waitForSelector(".marks-guided");
  assert.equal(await page.locator(".remark-panel").count(), 0);
  await coach.press("Shift+KeyM");
  await page.waitForSelector('[data-remark="start"]:not([disabled])');
});

test("a stretch and the last cycles can be chosen by the keyboard, and say how many marks they hold", async () => {
  const count = async () => Number(await page.locator("[data-remark-marks]").getAttribute("data-remark-marks"));
  await page.locator('.remark-last input[type="number"]').focus();
  await page.keyboard.press("Control+KeyA");
  await page.keyboard.type("2");
  await page.keyboard.press("Tab");
  await page.waitForFunction(() => /** @type {HTMLInputElement} */ (document.querySelector('[name="remark-passage"][value="last"]')).checked);
  const entries = events.filter(({ action }) => action === "mark_left_entry").map(({ first }) => first);
  assert.equal(await count(), events.filter(({ first }) => first >= entries[2]).length);
  await page.evaluate(() => /** @type {HTMLElement} */ (document.activeElement).blur());
  await coach.typeFrame(entries[1]);
  await page.locator('[data-remark="from"]').focus();
  await page.keyboard.press("Enter");
  await page.evaluate(() => /** @type {HTMLElement} */ (document.activeElement).blur());
  await coach.typeFrame(entries[2]);
  await page.locator('[data-remark="to"]').focus();
  await page.keyboard.press("Enter");
  await page.waitForFunction(({ from, to }) => document.querySelector(".remark-between")?.textContent?.includes(`frame ${from} to ${to}`), { from: entries[1], to: entries[2] });
  assert.equal(await count(), events.filter(({ first }) => first >= entries[1] && first <= entries[2]).length);
  await page.locator('[name="remark-passage"][value="between"]').focus();
  await page.keyboard.press("ArrowUp");
  await page.keyboard.press("ArrowUp");
  await page.waitForFunction((all) => document.querySelector("[data-remark-marks]")?.getAttribute("data-remark-marks") === String(all), events.length);
});

test("the pass is blind: no mark, no lane, no figure and no word of the first marking is left on the page", async () => {
  assert.ok(await armPixels() > 200, "the first marks are drawn before");
  await page.locator('[data-remark="start"]').focus();
  await page.keyboard.press("Enter");
  await page.evaluate(() => /** @type {HTMLElement} */ (document.activeElement).blur());
  const first = await asked(0);
  assert.ok(first);
  assert.equal(await armPixels(), 0, "the roll is empty");
  const found = await page.evaluate(() => ({
    parts: document.querySelectorAll(".marks-list, [data-mark], .marks-block, .marks-heads, .marks-flags p").length,
    doing: document.querySelector(".marks-roll canvas")?.getAttribute("aria-valuetext"),
    side: document.querySelector('[data-part="now"]')?.textContent ?? "",
  }));
  assert.equal(found.parts, 0);
  assert.doesNotMatch(found.doing ?? "", /propel/);
  assert.doesNotMatch(found.side, /ms|%|±/);
  // No number on the page but the shown frame and the progress; none is an earlier mark's frame.
  const html = await page.evaluate(() => document.querySelector("main")?.outerHTML ?? "");
  for (const { first: frame } of events) {
    if (frame === first.frame || frame < 100) continue;
    assert.ok(!new RegExp(`(?<![\\d.#])${frame}(?![\\d.px])`).test(html.replaceAll(/points="[^"]*"|d="[^"]*"/g, "")), `frame ${frame} of a first mark stands on the page`);
  }
  await picture("asking");
  assert.deepEqual(await axeViolations(page), []);
});

test("what would show the first marks is refused in words, in this view and the others", async () => {
  for (const key of ["KeyM", "ArrowUp", "KeyH", "Comma", "Delete"]) {
    await page.evaluate(() => { const status = document.getElementById("status"); if (status) status.textContent = ""; });
    await coach.press(key);
    await page.waitForFunction(() => document.getElementById("status")?.textContent?.includes("stop first"));
  }
  assert.equal(await page.locator(".marks-list").count(), 0);
  const now = await asked(0);
  assert.ok(now);
  const other = now.asks === "mark_left_catch" ? "KeyJ" : "KeyS";
  await coach.press(other);
  await page.waitForFunction(() => document.getElementById("status")?.textContent?.startsWith("Asked for is"));
  const here = page.url();
  await page.evaluate(() => { location.hash = location.hash.replace("marks", "numbers"); });
  await page.waitForFunction(() => document.querySelector("main .view h1")?.textContent === "Hidden while you mark again");
  assert.equal(await page.locator("table, .u-wrap").count(), 0);
  await page.evaluate((url) => { location.hash = new URL(url).hash; }, here);
  await page.waitForSelector(".marks-guided[data-asks]");
  assert.equal(await armPixels(), 0, "still blind after coming back");
});

test("one cycle after the other is asked for, each question some way before its event", { timeout: 240_000 }, async () => {
  /** @type {number[]} */
  const leads = [];
  for (let done = 0; done < 12; done += 1) {
    const now = await asked(done);
    assert.ok(now);
    leads.push(meant(now).first - now.frame);
    await answer(done, done % 2 === 0);
  }
  assert.ok(new Set(leads).size > 4, `leads ${leads.join()}`);
});

test("a passed-over question, a way back, an undo", async () => {
  const now = await asked(12);
  assert.ok(now);
  await coach.press("KeyN");
  const next = await asked(13);
  assert.ok(next);
  await coach.press("KeyB");
  assert.deepEqual(await asked(12), now, "back to the question that was passed over");
  await answer(12);
  await asked(13);
  await coach.press("Control+KeyZ");
  assert.deepEqual(await asked(12), now, "undone, the question comes again");
  await coach.press("Control+Shift+KeyZ");
  await asked(13);
});

test("a reload in the middle goes on with the same question, still blind, and nothing is lost", { timeout: 120_000 }, async () => {
  const now = await asked(13);
  await page.waitForFunction(() => document.querySelector(".saved")?.getAttribute("data-saved") === "saved");
  await page.reload();
  await page.waitForSelector(".marks-guided[data-asks]");
  assert.equal(await armPixels(), 0);
  // The demo's clip came from no file that could be kept; one click brings it back.
  await page.locator(".marks-notice button.primary").focus();
  await page.keyboard.press("Enter");
  await page.locator('[data-action="reopen"]').first().focus();
  await page.keyboard.press("Enter");
  await page.locator('.clip[data-clip="1"] .needs-file').waitFor({ state: "detached" });
  await page.locator('.clip[data-clip="1"] [data-action="mark"]').focus();
  await page.keyboard.press("Enter");
  await page.waitForSelector(".marks-proof-decoded, .marks-proof-sought", { timeout: 30_000 });
  assert.deepEqual(await asked(13), now);
  assert.equal(await armPixels(), 0);
});

test("stopped, the first marks are there again, and it goes on where it was", async () => {
  await coach.press("Shift+KeyM");
  await page.waitForSelector('[data-remark="go-on"]');
  assert.ok(await armPixels() > 200);
  assert.match(await page.locator(".remark-panel").textContent() ?? "", new RegExp(`Begun: 13 of ${events.length} done`));
  await picture("begun");
  await page.locator('[data-remark="go-on"]').focus();
  await page.keyboard.press("Enter");
  await page.evaluate(() => /** @type {HTMLElement} */ (document.activeElement).blur());
  await asked(13);
  assert.equal(await armPixels(), 0);
});

test("the SEM shown is the one that follows from the test's own frames", { timeout: 300_000 }, async () => {
  for (let done = 13; done < events.length; done += 1) await answer(done);
  assert.equal(await asked(events.length), null);
  await coach.press("Enter");
  await page.waitForSelector(".remark-results");
  for (const kind of KINDS) {
    const differences = events.filter(({ action }) => action.endsWith(kind)).map(({ first, second }) => ((second - first) * 1000) / FPS);
    const n = differences.length;
    const mean = differences.reduce((sum, value) => sum + value, 0) / n;
    const sd = Math.sqrt(differences.reduce((sum, value) => sum + (value - mean) ** 2, 0) / (n - 1));
    const row = page.locator(`.remark-results [data-table="marks"] tr[data-kind="${kind}"]`);
    const sem = Number(await row.locator('[data-figure="sem"]').textContent());
    const mdc = Number(await row.locator('[data-figure="mdc"]').textContent());
    assert.ok(Math.abs(sem - sd / Math.SQRT2) <= 0.0501, `${kind}: SEM ${sem}, by the test's frames ${sd / Math.SQRT2}`);
    assert.ok(Math.abs(mdc - 1.96 * sd) <= 0.0501, `${kind}: MDC ${mdc}, by the test's frames ${1.96 * sd}`);
    assert.equal(await row.locator("td").first().textContent(), String(n));
    assert.match(await row.locator("td").nth(3).textContent() ?? "", new RegExp(`^\\+?${mean.toFixed(1).replace("-", "−").replace(/^−0\.0$/, "0.0")}`));
  }
  const pass = page.locator('.remark-results [data-table="marks"] tr[data-kind="pass"]');
  assert.match(await pass.textContent() ?? "", /1 marked again; 6 are needed\. Mark 5 more of them again\./);
  const gap = page.locator('.remark-results [data-table="measures"] tr[data-kind="propulsive_gap"]');
  assert.ok(Number(await gap.locator('[data-figure="sem"]').textContent()) > 0);
  assert.match(await page.locator(".remark-sentences").textContent() ?? "", /A change of the mean gap under \d+ ms may be your hand, not the swimmer/);
  await picture("results");
  for (const theme of ["light", "dark"]) {
    await page.evaluate((name) => { document.documentElement.dataset.theme = name; }, theme);
    assert.deepEqual(await axeViolations(page), []);
  }
  await page.evaluate(() => { document.documentElement.dataset.theme = "light"; });
  assert.ok(await armPixels() > 200, "the first marks are there again");
  await coach.press("Escape");
  await page.waitForSelector(".remark-results", { state: "detached" });
});

test("the second marks and what follows from them leave as tables for a spreadsheet", async () => {
  const here = page.url();
  await page.evaluate(() => { location.hash = location.hash.replace("marks", "hand-over"); });
  const tableOf = async (/** @type {string} */ action) => {
    await page.locator(`[data-action="${action}"]`).focus();
    const [download] = await Promise.all([page.waitForEvent("download"), page.keyboard.press("Enter")]);
    return (await readFile(await download.path(), "utf8")).trim().split("\r\n").map((line) => line.split(","));
  };
  const [head, ...rows] = await tableOf("save-remarks");
  const columns = (/** @type {string} */ name) => rows.map((row) => Number(row[head.indexOf(name)]));
  const [earlier, again] = [columns("earlier_frame"), columns("frame")];
  assert.deepEqual([...earlier].sort((a, b) => a - b), events.map(({ first }) => first).sort((a, b) => a - b));
  assert.deepEqual([...again].sort((a, b) => a - b), events.map(({ second }) => second).sort((a, b) => a - b));
  const [repeatedHead, ...repeated] = await tableOf("save-repeatability");
  const entry = repeated.find((row) => row[1] === "entry");
  assert.equal(entry?.[repeatedHead.indexOf("unit")], "ms");
  assert.ok(Number(entry?.[repeatedHead.indexOf("sem")]) > 0);
  await page.evaluate((url) => { location.hash = new URL(url).hash; }, here);
  await page.waitForSelector(".marks-transport [data-action=play]:not([disabled])");
});

test("the finish can be undone, and a pass that was begun can be discarded and brought back", async () => {
  await coach.press("Shift+KeyM");
  await page.waitForSelector(".remark-panel");
  await coach.press("Control+KeyZ");
  await page.waitForSelector('[data-remark="go-on"]');
  await coach.press("Control+Shift+KeyZ");
  await page.waitForSelector('[data-remark="start"]');
  await page.waitForSelector('.remark-panel header button[aria-pressed="false"]');
  await page.locator('[data-remark="start"]').focus();
  await page.keyboard.press("Enter");
  await asked(0);
  await coach.press("Shift+KeyM");
  await page.locator('[data-remark="discard"]').focus();
  await page.keyboard.press("Enter");
  await page.waitForSelector('[data-remark="start"]');
  await coach.press("Control+KeyZ");
  await page.waitForSelector('[data-remark="go-on"]');
  await coach.press("Control+Shift+KeyZ");
  await page.waitForSelector('[data-remark="start"]');
});

test("the whole of it needed no pointer, and the page is sound", async () => {
  // @ts-ignore the test's own counter
  assert.equal(await page.evaluate(() => window.pointerUses), 0);
  assert.deepEqual(troubles, []);
});

test("a tab that can only read offers no second marking", async () => {
  const { page: other } = await newPage(browser.context);
  await other.goto(page.url());
  await other.waitForSelector(".marks-roll canvas[aria-valuetext]");
  await other.waitForFunction(() => [...document.querySelectorAll(".marks-notice")].some((notice) => notice.textContent?.includes("another tab")));
  await other.keyboard.press("Shift+KeyM");
  await other.waitForSelector(".remark-panel");
  assert.match(await other.locator(".remark-panel").textContent() ?? "", /can only be read here/);
  assert.equal(await other.locator('[data-remark="start"], [data-remark="discard"], [data-remark="go-on"]').count(), 0);
  await other.close();
});

test("on a phone the thumbs do it all: choose, mark by the pads, stop, go on, discard", { timeout: 120_000 }, async () => {
  const phone = await launchChromium({ viewport: { width: 390, height: 844 }, hasTouch: true, isMobile: true, deviceScaleFactor: 2 });
  try {
    const { page: small, troubles: smallTroubles } = await newPage(phone.context);
    await small.goto(site.address);
    await small.locator('[data-action="demo"]:not([disabled])').tap();
    await waitForPicture(small);
    for (let marked = 0; marked < 6; marked += 1) {
      await small.locator(".marks-event-asked").tap();
      await small.waitForFunction((done) => document.querySelector(".marks-guided")?.getAttribute("data-done") === String(done), marked + 1);
    }
    const fits = async () => {
      const found = await small.evaluate(() => ({
        over: [document.documentElement.scrollWidth - innerWidth, document.documentElement.scrollHeight - innerHeight],
        small: [...document.querySelectorAll(".marks button, .remark-panel label, .remark-panel input[type=number]")].filter((part) => {
          const box = part.getBoundingClientRect();
          return box.width > 0 && !part.classList.contains("marks-absent") && (box.width < 43.9 || box.height < 43.9);
        }).map((part) => `${part.textContent?.trim()} ${part.getBoundingClientRect().width}×${part.getBoundingClientRect().height}`),
      }));
      assert.ok(found.over.every((px) => px <= 0), `too large by ${found.over.join(" × ")} px`);
      assert.deepEqual(found.small, []);
    };
    await small.locator('.marks-tool[data-action="remark"]').tap();
    await small.waitForSelector('[data-remark="start"]');
    await small.screenshot({ path: path.join(OUTPUT, "remark-phone-choose.png") });
    await fits();
    await small.locator('[data-remark="start"]').tap();
    await small.waitForSelector('.marks-guided[data-done="0"]');
    await question(small);
    await small.screenshot({ path: path.join(OUTPUT, "remark-phone-asking.png") });
    assert.ok(await small.getByText("It comes within 0.5 s of the first frame shown.").first().isVisible() || await small.getByText("It comes within 0.5 s of the first frame shown.").last().isVisible(), "the search window is told");
    await fits();
    await small.locator(".marks-event-asked").tap();
    await small.waitForSelector('.marks-guided[data-done="1"]');
    await question(small);
    await small.getByRole("button", { name: "Skip" }).tap();
    await small.waitForSelector('.marks-guided[data-done="2"]');
    await small.locator('[data-remark="stop"]').tap();
    await small.waitForSelector('[data-remark="go-on"]');
    await fits();
    await small.locator('[data-remark="finish"]').tap();
    await small.waitForSelector(".remark-results");
    assert.match(await small.locator('.remark-results tr[data-kind="entry"]').textContent() ?? "", /1 marked again; 6 are needed\. Mark 5 more of them again\./);
    await small.screenshot({ path: path.join(OUTPUT, "remark-phone-results.png") });
    await fits();
    assert.deepEqual(await axeViolations(small), []);
    assert.deepEqual(smallTroubles, []);
  } finally {
    await phone.close();
  }
});
