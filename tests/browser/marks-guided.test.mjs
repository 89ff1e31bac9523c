// The main job as a coach does it: the demo, the guided pass, the keyboard alone; then the figures on the screen
// against the demo's exact times, by arithmetic of this file's own.
//
// What is compared with what: marks with the frames that contain the true times (demo/truth.json); figures with
// values from those exact times. A mark stands at the start of its frame, so an interval between two marks is
// less than one frame away from the true one (metrics.md §8).

import { after, before, test } from "node:test";
import assert from "node:assert/strict";
import { axeViolations, launchChromium, newPage, startSite } from "./harness.mjs";
import { Coach, countPointerUses, figure, frameShown, marksListed, nextQuestion, openDemo, question, truthOf, waitForFrame } from "./marks-coach.mjs";
import { withoutPickers } from "./sitting.mjs";

const ARM = ["entry", "catch", "mid_pull", "exit"];
const FRAME_S = 1 / 60;

/** @type {Awaited<ReturnType<typeof startSite>>} */
let site;
/** @type {Awaited<ReturnType<typeof launchChromium>>} */
let browser;
/** @type {import("playwright-core").Page} */
let page;
/** @type {string[]} */
let troubles;
/** @type {any} */
let truth;
/** @type {Coach} */
let coach;

before(async () => {
  truth = await truthOf("before");
  site = await startSite();
  browser = await launchChromium({ acceptDownloads: true });
  await withoutPickers(browser.context);
  ({ page, troubles } = await newPage(browser.context));
  // Any use of a pointer would show here.
  await countPointerUses(page);
  coach = new Coach(page);
  await openDemo(page, site.address);
});

after(async () => {
  await browser?.close();
  await site?.close();
});

/** True events of an arm, in time order. @param {string} kind @param {string} side @returns {import("./marks-coach.mjs").TrueEvent[]} */
function events(kind, side) {
  return truth.events.filter((event) => event.kind === kind && event.side === side).sort((a, b) => a.time_s - b.time_s);
}

/**
 * Answers the pass until it asks nothing more: steps to the true event and confirms, or says that there is none.
 * @param {[string, string][]} asksFor kind and side of the events that it may ask for
 */
async function answerPass(asksFor) {
  /** @type {Map<string, {frame: number, isDone: boolean}[]>} */
  const wanted = new Map(asksFor.map(([kind, side]) => [`mark_${side}_${kind}`, events(kind, side).map(({ frame }) => ({ frame, isDone: false }))]));
  let marked = 0;
  let skipped = 0;
  for (let asked = await question(page); asked !== null;) {
    const all = wanted.get(asked.asks);
    assert.ok(all, `the pass asks for ${asked.asks}`);
    const open = all.filter((event) => !event.isDone);
    const { frame } = asked;
    const nearest = open.reduce((/** @type {typeof open[0] | null} */ best, event) => (best && Math.abs(best.frame - frame) <= Math.abs(event.frame - frame) ? best : event), null);
    // A first question has no proposal to trust; elsewhere an event half a second away is another stroke's.
    const isFirst = open.length === all.length;
    if (nearest === null || (!isFirst && Math.abs(nearest.frame - frame) > 30)) {
      await coach.press("KeyN");
      skipped += 1;
      assert.ok(skipped < 12, "the pass asks for what is not there");
    } else {
      const target = isFirst ? open[0] : nearest;
      await coach.stepTo(target.frame);
      await coach.press("Enter");
      target.isDone = true;
      marked += 1;
    }
    asked = await nextQuestion(page, asked);
  }
  return { wanted, marked, skipped };
}

test("the guided pass takes at most three keys a mark on average for ten cycles of both arms", { timeout: 300_000 }, async () => {
  const before = coach.keys;
  const { wanted, marked, skipped } = await answerPass(["left", "right"].flatMap((side) => ARM.map((kind) => /** @type {[string, string]} */ ([kind, side]))));
  const keys = coach.keys - before;
  const left = [...wanted].flatMap(([action, list]) => list.filter((event) => !event.isDone).map((event) => `${action} ${event.frame}`));
  console.log(`guided pass: ${marked} marks, ${skipped} skipped, ${keys} keys, ${(keys / marked).toFixed(2)} keys a mark; not asked for: ${left.join(", ") || "none"}`);
  assert.ok(marked >= 80, `${marked} marks`);
  assert.ok(keys / marked <= 3, `${(keys / marked).toFixed(2)} keys a mark`);
});

test("every mark stands on the frame of its event, and nothing else is marked", async () => {
  const listed = await marksListed(page);
  const found = listed.map(({ action, frame }) => `${action} ${frame}`).sort();
  const expected = ["left", "right"].flatMap((side) => ARM.flatMap((kind) => events(kind, side).map((event) => `mark_${side}_${kind} ${event.frame}`)));
  const extra = found.filter((mark) => !expected.includes(mark));
  assert.deepEqual(extra, []);
  assert.equal(new Set(found).size, found.length, "no mark twice");
  assert.ok(found.length >= 80);
});

test("the figures of single cycles agree with the exact times within the error of a frame", async () => {
  for (const side of /** @type {const} */ (["left", "right"])) {
    const other = side === "left" ? "right" : "left";
    const entries = events("entry", side);
    for (const index of [1, 4, 8]) {
      const [start, end] = [entries[index].time_s, entries[index + 1].time_s];
      await coach.typeFrame(Math.floor(((start + end) / 2) / FRAME_S));
      const duration = end - start;
      const rate = await figure(page, "rate", side);
      assert.ok(rate, `${side} ${index}: a rate`);
      const slack = 0.1;
      assert.ok(rate.value > 120 / (duration + FRAME_S) - slack && rate.value < 120 / (duration - FRAME_S) + slack, `${side} ${index}: ${rate.value} strokes/min, truly ${120 / duration}`);
      const inside = (/** @type {{time_s: number}} */ event) => event.time_s >= start && event.time_s < end;
      const catchTime = events("catch", side).find(inside).time_s;
      const exitTime = events("exit", side).find(inside).time_s;
      const exitBefore = events("exit", other).filter((event) => event.time_s < catchTime + 0.4).reduce((best, event) => (Math.abs(event.time_s - catchTime) < Math.abs(best - catchTime) ? event.time_s : best), Infinity);
      const gap = await figure(page, "gap", side);
      assert.ok(gap, `${side} ${index}: a gap`);
      assert.ok(Math.abs(gap.value - 1000 * (catchTime - exitBefore)) < 1000 * FRAME_S + 0.6, `${side} ${index}: gap ${gap.value} ms, truly ${1000 * (catchTime - exitBefore)}`);
      const catchAfter = events("catch", other).reduce((best, event) => (Math.abs(event.time_s - exitTime) < Math.abs(best - exitTime) ? event.time_s : best), Infinity);
      const trueIndex = (100 * (exitTime - catchAfter)) / duration;
      const coordination = await figure(page, "coordination", side);
      assert.ok(coordination, `${side} ${index}: an index of coordination`);
      const bound = (100 * FRAME_S * (1 + Math.abs(trueIndex) / 100)) / (duration - FRAME_S) + 0.1;
      assert.ok(Math.abs(coordination.value - trueIndex) < bound, `${side} ${index}: index ${coordination.value} %, truly ${trueIndex}`);
    }
  }
});

test("the mean rate agrees with the exact times as closely as its uncertainty says", async () => {
  const text = await page.locator(".marks-block-rate .marks-mean").textContent();
  const [, value, error] = /mean ([\d.]+) ±([\d.]+)/.exec(text ?? "") ?? [];
  const means = ["left", "right"].map((side) => {
    const entries = events("entry", side);
    return (entries[entries.length - 1].time_s - entries[0].time_s) / (entries.length - 1);
  });
  const exact = 120 / ((means[0] + means[1]) / 2);
  assert.ok(Math.abs(Number(value) - exact) < 4 * Number(error) + 0.06, `${text}, truly ${exact.toFixed(3)}`);
});

test("the hole of the drive is on the roll and said in words at the playhead", async () => {
  const exit = events("exit", "left")[3].time_s;
  const next = events("catch", "right").find((event) => event.time_s > exit).time_s;
  await coach.typeFrame(Math.round((exit + next) / 2 / FRAME_S));
  await page.waitForFunction(() => document.querySelector(".marks-roll canvas")?.getAttribute("aria-valuetext")?.includes("neither arm propels"));
});

test("the pass goes on to the breaths and the kick-outs, and finds them with few keys", { timeout: 120_000 }, async () => {
  await page.locator(".marks-guided-finished button", { hasText: "Breaths, left" }).focus();
  await page.keyboard.press("Enter");
  await page.waitForSelector(".marks-guided[data-asks]");
  const keys = coach.keys;
  const breath = ["mouth_clear", "face_turn", "face_return", "exhale_start"];
  const breaths = await answerPass(breath.map((kind) => [kind, "left"]));
  assert.equal(breaths.marked, 20, "five breaths of four marks");
  await page.locator(".marks-guided-finished button", { hasText: "Kick-outs" }).focus();
  await page.keyboard.press("Enter");
  await page.waitForSelector(".marks-guided[data-asks]");
  const kickOuts = await answerPass([["kick_out_start", "both"], ["kick_out_end", "both"]]);
  assert.equal(kickOuts.marked, 10, "five kick-outs, each with start and end");
  const a_mark = (coach.keys - keys) / 30;
  console.log(`breaths and kick-outs: 30 marks, ${breaths.skipped + kickOuts.skipped} skipped, ${a_mark.toFixed(2)} keys a mark`);
  assert.ok(a_mark <= 4, `${a_mark.toFixed(2)} keys a mark`);
  const listed = (await marksListed(page)).map(({ action, frame }) => `${action} ${frame}`);
  const expected = [...breath.map((kind) => [kind, "left"]), ["kick_out_start", "both"], ["kick_out_end", "both"]]
    .flatMap(([kind, side]) => events(kind, side).map(({ frame }) => `mark_${side}_${kind} ${frame}`));
  assert.deepEqual(expected.filter((mark) => !listed.includes(mark)), []);
  assert.equal(await page.locator(".marks-flags p").count(), 0, "nothing is out of order");
});

test("from the marks to the numbers, from a number to its frames, and into a file, by the keyboard", async () => {
  const follow = async (/** @type {string} */ selector, /** @type {string} */ view) => {
    await page.locator(selector).first().focus();
    await page.keyboard.press("Enter");
    await page.waitForSelector(`#main[data-view="${view}"]`);
  };
  await follow('.way[href^="#numbers"]', "numbers");
  const rate = page.locator(".large[data-kind=stroke_rate] .numbers-value");
  await rate.focus();
  await page.keyboard.press("Enter");
  await page.waitForSelector('#main[data-view="marks"]');
  const first = Math.min(...["left", "right"].flatMap((side) => events("entry", side).map(({ frame }) => frame)));
  await waitForFrame(page, first);
  await follow('.way[href^="#hand-over"]', "hand-over");
  await page.locator('[data-action="save-measures"]').focus();
  const [download] = await Promise.all([page.waitForEvent("download"), page.keyboard.press("Enter")]);
  assert.match(download.suggestedFilename(), /_measures\.csv$/);
  await follow('.way[href^="#marks"]', "marks");
  await page.waitForSelector(".marks-proof-decoded");
});

test("undo has no end, survives a reload, and so do the marks", { timeout: 120_000 }, async () => {
  const whole = await marksListed(page);
  await coach.press("Control+KeyZ", 12);
  await coach.press("Control+Shift+KeyZ", 2);
  const fewer = await marksListed(page);
  assert.equal(fewer.length, whole.length - 10);
  await page.waitForFunction(() => document.querySelector(".saved")?.getAttribute("data-saved") === "saved");
  await page.reload();
  await page.waitForSelector(".marks-roll canvas[aria-valuetext]");
  // The demo's clip came from no file that could be kept: its marks and figures stand without it.
  await page.waitForSelector(".marks-notice button");
  const kept = await marksListed(page);
  assert.deepEqual(kept.map(({ action, frame }) => `${action} ${frame}`).sort(), fewer.map(({ action, frame }) => `${action} ${frame}`).sort());
  await coach.press("Control+KeyZ", 70);
  const few = await marksListed(page);
  assert.equal(few.length, fewer.length - 70);
  await coach.press("Control+Shift+KeyZ", 80);
  assert.deepEqual((await marksListed(page)).map(({ frame }) => frame).sort(), whole.map(({ frame }) => frame).sort());
});

test("without its clip the roll can be read along, and nothing can be marked by mistake", async () => {
  const count = (await marksListed(page)).length;
  const at = await frameShown(page);
  await coach.press("ArrowRight", 3);
  await waitForFrame(page, at + 3);
  await coach.press("KeyA");
  assert.equal((await marksListed(page)).length, count);
});

test("the whole of it needed no pointer, and the page is sound", async () => {
  // @ts-ignore the test's own counter
  assert.equal(await page.evaluate(() => window.pointerUses), 0);
  assert.deepEqual(troubles, []);
  for (const theme of ["light", "dark"]) {
    await page.evaluate((name) => { document.documentElement.dataset.theme = name; }, theme);
    assert.deepEqual(await axeViolations(page), []);
  }
});
