// The numbers view over the real store and the real wasm sitting, with the demo's true events as marks.
// What is shown is held against `Sitting.measures()`; what those are worth is the stroke crate's own tests' matter.

import assert from "node:assert/strict";
import { after, before, test } from "node:test";
import { axeViolations, launchChromium, newPage, startSite } from "./harness.mjs";

let site;
let browser;

before(async () => {
  site = await startSite();
  browser = await launchChromium({ permissions: ["clipboard-read", "clipboard-write"] });
});
after(async () => {
  await browser?.close();
  await site?.close();
});

/** A page with the demo's clip of that index open, with those true events as marks that are not left out. */
async function opened(t, { index = 0, leaveOut = [], only = null, proof = "decoded", theme = "light", viewport = { width: 1366, height: 768 } } = {}) {
  const { page, troubles } = await newPage(browser.context);
  t.after(async () => {
    await page.close();
    assert.deepEqual(troubles, []);
  });
  await page.setViewportSize(viewport);
  await page.goto(`${site.address}tests/browser/pages/numbers.html`);
  await page.waitForSelector("body[data-ready]");
  await page.evaluate(
    ({ index, leaveOut, only, proof, theme }) => {
      document.documentElement.dataset.theme = theme;
      window.numbersPage.open(index, ({ kind, side }) => !leaveOut.includes(kind) && (only === null || side === only), proof);
    },
    { index, leaveOut, only, proof, theme },
  );
  return page;
}

/** Every measure, as the wasm sitting gives it. */
const measuresOf = (page) => page.evaluate(() => window.numbersPage.sitting.measures(window.numbersPage.store.clip_id));
const went = (page) => page.evaluate(() => window.numbersPage.went);
/** The time of the earliest of these marks, ticks. */
const firstTime = (page, ids) =>
  page.evaluate((ids) => {
    const { marks } = window.numbersPage.store.marking();
    return Math.min(...marks.filter((mark) => ids.includes(mark.id)).map((mark) => mark.time));
  }, ids);

const MS = new Set(["propulsive_gap", "lead_arm_lag"]);
const number = (text) => Number(text.replace("−", "-"));
const decimals = (text) => (text.split(".")[1] ?? "").length;

/** The text is the value rounded to the decimals that the text has. */
function assertRounded(text, value, what) {
  assert.match(text, /^−?\d+(\.\d+)?$/, what);
  const half = 0.5 * 10 ** -decimals(text);
  assert.ok(Math.abs(number(text) - value) <= half * 1.000001, `${what}: shown ${text}, measured ${value}`);
}

function find(measures, kind, side, breathing, cycle = null) {
  return measures.find((measure) => measure.kind === kind && measure.side === side && measure.breathing === breathing && measure.cycle === cycle);
}

test("the board shows the measures with unit, ± and n, large enough for arm's length", async (t) => {
  const page = await opened(t);
  const measures = await measuresOf(page);
  const figures = await page.$$eval(".numbers-board .numbers-figure", (all) =>
    all.map((figure) => ({
      kind: figure.dataset.kind,
      side: figure.dataset.side || null,
      breathing: figure.dataset.breathing,
      value: figure.querySelector(".numbers-value")?.textContent.trim(),
      spread: figure.querySelector(".spread")?.textContent.replace("±", "").trim(),
      unit: figure.querySelector(".unit")?.textContent.trim(),
      n: figure.querySelector(".numbers-n")?.textContent.replace("n", "").trim(),
      size: figure.querySelector(".numbers-value") ? parseFloat(getComputedStyle(figure.querySelector(".numbers-value")).fontSize) : null,
      numerals: getComputedStyle(figure).fontVariantNumeric,
    })),
  );
  assert.equal(figures.length, 3 + 3 + 1 + 3 * 4);
  for (const figure of figures) {
    const what = `${figure.kind} ${figure.side} ${figure.breathing}`;
    const measure = find(measures, figure.kind, figure.side, figure.breathing);
    assert.ok(measure, what);
    const factor = MS.has(figure.kind) ? 1000 : 1;
    assertRounded(figure.value, measure.quantity.value * factor, what);
    assertRounded(figure.spread, measure.quantity.uncertainty * factor, `± of ${what}`);
    assert.ok(number(figure.spread) > 0, `± of ${what} is written as nothing`);
    assert.equal(number(figure.n), measure.n, `n of ${what}`);
    assert.ok(figure.size >= 28, `${what} is ${figure.size} px`);
    assert.match(figure.numerals, /tabular-nums/);
  }
  assert.deepEqual(
    new Set(figures.filter((figure) => figure.breathing === "all" && figure.side === null).map((figure) => figure.unit)),
    new Set(["strokes/min", "cycles/min", "s per stroke", "ms", "frames", "%"]),
  );
});

test("at 1366×768 the board and the chart of the gap need no scrolling; nothing scrolls sideways on a phone", async (t) => {
  const wide = await opened(t);
  await wide.waitForSelector("[data-chart=gaps] .numbers-spot");
  for (const part of [".numbers-board", "[data-chart=gaps] .numbers-plot", ".wheel"]) {
    const box = await wide.locator(part).boundingBox();
    assert.ok(box.y + box.height <= 768, `${part} ends at ${box.y + box.height}`);
  }
  const phone = await opened(t, { viewport: { width: 390, height: 844 } });
  assert.equal(await phone.evaluate(() => document.documentElement.scrollWidth), 390);
  const small = await phone.$$eval(".numbers-board .numbers-value", (all) => Math.min(...all.map((value) => parseFloat(getComputedStyle(value).fontSize))));
  assert.ok(small >= 28);
});

test("what ± is, where the methods stand and the filmed rate are said beside the results", async (t) => {
  const page = await opened(t);
  const basis = page.locator(".numbers-basis");
  assert.match(await basis.textContent(), /one standard deviation from frame quantisation/);
  assert.match(await basis.textContent(), /95 % interval and SD are from stroke to stroke/);
  assert.equal(await basis.locator("a").getAttribute("href"), "methods.html");
  const groups = await page.$$eval(".numbers section[aria-labelledby]", (all) => all.map((section) => section.querySelector(".numbers-rate-tag")?.textContent.trim()));
  assert.equal(groups.length, 8);
  assert.ok(groups.every((tag) => tag === "as the clip plays, 60 frames/s"), groups.join("; "));
});

test("stating the filmed rate changes every second and says so", async (t) => {
  const page = await opened(t);
  const before = find(await measuresOf(page), "stroke_rate", null, "all").quantity.value;
  await page.locator(".numbers-rate").fill("240");
  await page.locator(".numbers-rate").press("Enter");
  await page.waitForFunction(() => document.querySelector(".numbers-rate-tag").textContent.includes("240"));
  const after = find(await measuresOf(page), "stroke_rate", null, "all").quantity.value;
  assert.ok(Math.abs(after / before - 4) < 1e-9);
  assertRounded(await page.locator(".large[data-kind=stroke_rate] .numbers-value").textContent(), after, "stroke rate at 240 frames/s");
  await page.getByLabel("as the clip plays", { exact: true }).check();
  await page.waitForFunction(() => document.querySelector(".numbers-rate-tag").textContent.includes("60 frames/s"));
  assertRounded(await page.locator(".large[data-kind=stroke_rate] .numbers-value").textContent(), before, "stroke rate as it plays");
});

test("the clip is named, and another one of the session is one choice away", async (t) => {
  const page = await opened(t);
  assert.equal(await page.locator(".numbers-clip").textContent(), "before (before.mp4)");
  const second = await page.evaluate(() => window.numbersPage.open(1));
  const choice = page.getByRole("combobox", { name: "Clip" });
  assert.equal(await choice.inputValue(), String(second));
  await choice.selectOption({ label: "before (before.mp4)" });
  const first = await page.evaluate(() => window.numbersPage.store.session.clips[0].id);
  assert.deepEqual((await went(page)).at(-1), { way: "numbers", clip: first });
});

test("choosing “filmed at” without a rate changes nothing and asks for one", async (t) => {
  const page = await opened(t);
  await page.getByLabel("filmed at", { exact: true }).check();
  assert.equal(await page.evaluate(() => document.activeElement.className), "numbers-rate");
  assert.equal(await page.evaluate(() => window.numbersPage.store.clip.filmed_rate_fps), null);
  await page.locator(".numbers-rate").fill("-3");
  await page.locator(".numbers-rate").press("Enter");
  assert.equal((await page.evaluate(() => window.numbersPage.told)).at(-1).kind, "filmed_rate");
  assert.equal(await page.evaluate(() => window.numbersPage.store.clip.filmed_rate_fps), null);
});

test("a number without enough marks is a dash that tells why, on focus", async (t) => {
  const page = await opened(t, { leaveOut: ["catch", "mouth_clear", "face_turn", "face_return", "exhale_start"] });
  const measure = find(await measuresOf(page), "propulsive_gap", null, "all");
  assert.equal(measure.quantity, null);
  const figure = page.locator(".large[data-kind=propulsive_gap]");
  const dash = figure.getByRole("button");
  assert.equal((await dash.textContent()).trim(), "–");
  const reason = figure.getByRole("tooltip", { includeHidden: true });
  assert.ok(!(await reason.isVisible()));
  await dash.focus();
  assert.ok(await reason.isVisible());
  assert.ok((await reason.textContent()).includes(measure.absence.message));
  assert.ok((await reason.textContent()).includes(measure.absence.hint));
  assert.equal(await dash.getAttribute("aria-describedby"), await reason.getAttribute("id"));
  // The rate needs entries only, and is there.
  assert.ok(await page.locator(".large[data-kind=stroke_rate] .numbers-value").isVisible());
});

test("one visible arm alone still gives its rate and its phases", async (t) => {
  const page = await opened(t, { only: "left" });
  const measures = await measuresOf(page);
  const split = page.locator("[data-group=rate] [data-split=left] .numbers-value");
  assertRounded(await split.textContent(), find(measures, "stroke_rate", "left", "all").quantity.value, "left rate");
  await page.waitForSelector("[data-chart=phases] .numbers-spot");
  assert.equal(await page.locator(".wheel [data-side]").count(), 1);
  assert.equal(await page.locator(".wheel [data-waiting]").count(), 0);
});

test("click and Enter on a number lead to the first of its frames", async (t) => {
  const page = await opened(t);
  const measures = await measuresOf(page);
  const clip = await page.evaluate(() => window.numbersPage.store.clip_id);
  await page.locator(".large[data-kind=propulsive_gap] .numbers-value").click();
  const gap = find(measures, "propulsive_gap", null, "all");
  assert.deepEqual((await went(page)).at(-1), { way: "marks", clip, at: await firstTime(page, gap.marks) });
  await page.locator("[data-group=coordination] [data-split=breathing] .numbers-value").focus();
  await page.keyboard.press("Enter");
  const coordination = find(measures, "index_of_coordination", null, "breathing");
  assert.deepEqual((await went(page)).at(-1), { way: "marks", clip, at: await firstTime(page, coordination.marks) });
});

test("the list of frames names every mark, opens by keyboard and closes by Escape", async (t) => {
  const page = await opened(t);
  const gap = find(await measuresOf(page), "propulsive_gap", "left", "all");
  const button = page.locator("[data-group=gap] [data-split=left] .numbers-n");
  await button.focus();
  await page.keyboard.press("Enter");
  const list = page.getByRole("dialog");
  await list.waitFor();
  assert.equal(await list.locator("li").count(), gap.marks.length);
  const marks = await page.evaluate(() => window.numbersPage.store.marking().marks);
  const second = marks.filter((mark) => gap.marks.includes(mark.id))[1];
  assert.ok((await list.locator("li").nth(1).textContent()).includes(`frame ${second.frame}`));
  await page.keyboard.press("Escape");
  assert.ok(!(await list.isVisible()));
  assert.ok(await button.evaluate((element) => element === document.activeElement));
  await button.click();
  await list.locator("li button").nth(1).click();
  assert.equal((await went(page)).at(-1).at, second.time);
  assert.ok(!(await list.isVisible()));
});

test("the charts' tables hold the single measures of their cycles", async (t) => {
  const page = await opened(t);
  const measures = await measuresOf(page);
  const rows = async (chart) => {
    await page.locator(`[data-chart=${chart}] summary`).click();
    return await page.$$eval(`[data-chart=${chart}] tbody tr`, (all) => all.map((row) => [...row.cells].map((cell) => cell.textContent.trim())));
  };
  const single = (kind) => measures.filter((measure) => measure.kind === kind && measure.cycle !== null && measure.side !== null && measure.quantity);

  const gaps = single("propulsive_gap").sort((one, other) => one.span.start - other.span.start);
  const shownGaps = await rows("gaps");
  assert.equal(shownGaps.length, gaps.length);
  assert.ok(gaps.length >= 18);
  gaps.forEach((gap, index) => {
    const [, waiting, stroke, text, frames, share] = shownGaps[index];
    assert.equal(waiting, gap.side);
    assert.equal(stroke, gap.breathing === "breathing" ? "breathing" : "non-breathing");
    const [value, , spread, unit] = text.split(" ");
    assertRounded(value, gap.quantity.value * 1000, `gap ${index}`);
    assertRounded(spread, gap.quantity.uncertainty * 1000, `± of gap ${index}`);
    assert.equal(unit, "ms");
    assertRounded(frames.split(" ")[0], find(measures, "propulsive_gap_frames", gap.side, gap.breathing, gap.cycle).quantity.value, `frames of gap ${index}`);
    assertRounded(share.split(" ")[0], find(measures, "propulsive_gap_share", gap.side, gap.breathing, gap.cycle).quantity.value, `share of gap ${index}`);
  });

  const shownPhases = await rows("phases");
  assert.equal(shownPhases.length, single("phase_pull").length);
  for (const [cycle, side, , ...shares] of shownPhases) {
    const at = number(cycle.split(",")[0]) - 1;
    ["entry_and_catch", "pull", "push", "recovery"].forEach((phase, index) => {
      const measure = single(`phase_${phase}`).find((one) => one.side === side && one.cycle === at);
      assertRounded(shares[index].split(" ")[0], measure.quantity.value, `${phase} of cycle ${cycle}`);
    });
  }

  for (const [cycle, side, , strokes, cycles] of await rows("rates")) {
    const of = (kind) => single(kind).find((one) => one.side === side && one.cycle === number(cycle.split(",")[0]) - 1).quantity.value;
    assertRounded(strokes.split(" ")[0], of("stroke_rate"), `rate of cycle ${cycle}`);
    assertRounded(cycles.split(" ")[0], of("cycle_rate"), `cycle rate of cycle ${cycle}`);
  }
});

test("each stroke on a chart is reached by arrows, and Enter and click lead to its frames", async (t) => {
  const page = await opened(t);
  for (const chart of ["gaps", "phases", "rates"]) {
    await page.waitForSelector(`[data-chart=${chart}] .numbers-spot`);
    const spots = page.locator(`[data-chart=${chart}] .numbers-spot`);
    assert.equal(await page.locator(`[data-chart=${chart}] .numbers-spot[tabindex="0"]`).count(), 1, "one of them is in the tab order");
    await spots.first().focus();
    await page.keyboard.press("ArrowRight");
    await page.keyboard.press("ArrowRight");
    const third = spots.nth(2);
    assert.ok(await third.evaluate((spot) => spot === document.activeElement));
    assert.ok(await third.locator(".numbers-spot-tip").isVisible());
    const ids = (await third.getAttribute("data-marks")).split(" ").map(Number);
    await page.keyboard.press("Enter");
    assert.equal((await went(page)).at(-1).at, await firstTime(page, ids));
    await spots.last().click();
    const last = (await spots.last().getAttribute("data-marks")).split(" ").map(Number);
    assert.equal((await went(page)).at(-1).at, await firstTime(page, last));
  }
});

test("a dot of the gap chart stands at its value and its time", async (t) => {
  const page = await opened(t);
  await page.waitForSelector("[data-chart=gaps] .numbers-spot");
  const gaps = (await page.evaluate(() => window.numbersPage.store.plots())).gaps;
  const at = await page.$$eval("[data-chart=gaps] .numbers-spot", (all) => all.map((spot) => [parseFloat(spot.style.left), parseFloat(spot.style.top)]));
  // Positions are linear in time and value: any two spots give the scale for all others.
  const scale = (values, pixels) => (pixels.at(-1) - pixels[0]) / (values.at(-1) - values[0]);
  const xs = scale(gaps.map((gap) => gap.time_s), at.map(([x]) => x));
  const ys = scale(gaps.map((gap) => gap.gap_ms.value), at.map(([, y]) => y));
  assert.ok(xs > 0 && ys < 0, "time runs to the right, a longer gap stands higher");
  gaps.forEach((gap, index) => {
    assert.ok(Math.abs(at[index][0] - at[0][0] - xs * (gap.time_s - gaps[0].time_s)) < 2, `time of gap ${index}`);
    assert.ok(Math.abs(at[index][1] - at[0][1] - ys * (gap.gap_ms.value - gaps[0].gap_ms.value)) < 2, `value of gap ${index}`);
  });
});

test("the table is sorted up, down and back", async (t) => {
  const page = await opened(t);
  const values = () => page.$$eval(".numbers-table tbody tr td:nth-of-type(3)", (all) => all.map((cell) => cell.textContent.trim()));
  await page.locator(".numbers-table select").selectOption("coordination");
  const own = await values();
  const heading = page.locator(".numbers-table th", { hasText: "Value" });
  // Sorted by the measure's own value: choose one kind of unit, so that the shown numbers are in that order too.
  await page.locator(".numbers-table select").selectOption("phases");
  const before = await values();
  await heading.getByRole("button").click();
  assert.equal(await heading.getAttribute("aria-sort"), "ascending");
  const bySeconds = (await page.$$eval(".numbers-table tbody tr", (all) => all.map((row) => [row.cells[5].textContent.trim(), row.cells[3].textContent.trim()])))
    .filter(([unit]) => unit === "%")
    .map(([, value]) => number(value));
  assert.deepEqual(bySeconds, [...bySeconds].sort((one, other) => one - other));
  assert.notDeepEqual(await values(), before);
  await heading.getByRole("button").click();
  assert.equal(await heading.getAttribute("aria-sort"), "descending");
  await heading.getByRole("button").press("Enter");
  assert.equal(await heading.getAttribute("aria-sort"), "none");
  assert.deepEqual(await values(), before);
  await page.locator(".numbers-table select").selectOption("coordination");
  assert.deepEqual(await values(), own);
});

test("the table's numbers are the measures; cycles and absent ones come on demand", async (t) => {
  const page = await opened(t, { leaveOut: ["kick_out_start", "kick_out_end"] });
  const measures = await measuresOf(page);
  const read = () =>
    page.$$eval(".numbers-table tbody tr", (all) =>
      all.map((row) => ({ ...row.dataset, cells: [...row.cells].map((cell) => cell.textContent.trim().replaceAll(/\s+/g, " ")) })),
    );
  const rows = await read();
  assert.equal(rows.length, measures.filter((measure) => measure.cycle === null && measure.breathing === "all" && measure.quantity).length);
  for (const { kind, side, cells } of rows) {
    const measure = find(measures, kind, side || null, "all");
    const factor = MS.has(kind) ? 1000 : 1;
    assertRounded(cells[3], measure.quantity.value * factor, `${kind} ${side}`);
    if (measure.quantity.uncertainty > 0) assertRounded(cells[4], measure.quantity.uncertainty * factor, `± of ${kind} ${side}`);
    if (measure.sd !== null) assertRounded(cells[6], measure.sd * factor, `SD of ${kind} ${side}`);
    assert.equal(number(cells[7]), measure.n);
    if (measure.interval) {
      const [low, high] = cells[8].split(" to ");
      assertRounded(low, measure.interval[0] * factor, `interval of ${kind}`);
      assertRounded(high, measure.interval[1] * factor, `interval of ${kind}`);
    }
    for (const [column, breathing] of [[9, "breathing"], [10, "non_breathing"]]) {
      const half = find(measures, kind, side || null, breathing);
      if (half?.quantity) assertRounded(cells[column].split(" ")[0], half.quantity.value * factor, `${breathing} ${kind}`);
    }
  }
  await page.getByLabel("each cycle too").check();
  const single = measures.filter((measure) => measure.cycle !== null && measure.quantity);
  assert.equal((await read()).filter((row) => row.cycle !== "").length, single.length);
  assert.ok(single.length > 100);
  await page.getByLabel("each cycle too").uncheck();
  await page.getByLabel(/without a number/).check();
  const absent = (await read()).find((row) => row.kind === "kick_out_duration");
  assert.equal(absent.cells[3], "–");
  assert.ok(absent.cells[4].startsWith(measures.find((measure) => measure.kind === "kick_out_duration" && measure.cycle === null && measure.breathing === "all").absence.message));
});

test("a row of the table leads to its frames", async (t) => {
  const page = await opened(t);
  await page.getByLabel("each cycle too").check();
  const row = page.locator(".numbers-table tr[data-kind=phase_push][data-side=right][data-cycle='3']");
  const measure = (await measuresOf(page)).find((one) => one.kind === "phase_push" && one.side === "right" && one.cycle === 3);
  await row.locator(".numbers-value").focus();
  await page.keyboard.press("Enter");
  assert.equal((await went(page)).at(-1).at, await firstTime(page, measure.marks));
});

test("copying gives tab-separated rows that equal what is shown", async (t) => {
  const page = await opened(t);
  const cells = await page.$$eval(".numbers-table tbody tr", (all) => all.map((row) => [row.cells[0], row.cells[1], row.cells[3], row.cells[4]].map((cell) => cell.textContent.trim().replaceAll(/\s+/g, " "))));
  await page.getByRole("button", { name: "Copy table" }).click();
  await page.waitForFunction(() => window.numbersPage.said.length > 0);
  const lines = (await page.evaluate(() => navigator.clipboard.readText())).split("\n").map((line) => line.split("\t"));
  assert.equal(lines.length, cells.length + 1);
  assert.ok(lines.every((line) => line.length === lines[0].length));
  lines.slice(1).forEach((line, index) => {
    assert.deepEqual([line[0], line[1], line[4], line[5]], cells[index].map((text) => text.replace("−", "-")));
  });
  // Ctrl+C over a selection: whole rows, with the heading.
  await page.evaluate(() => {
    const rows = document.querySelector(".numbers-table tbody").rows;
    getSelection().setBaseAndExtent(rows[1].cells[0].firstChild, 0, rows[2].cells[1].firstChild, 1);
  });
  await page.keyboard.press("Control+c");
  const selected = (await page.evaluate(() => navigator.clipboard.readText())).split("\n");
  assert.deepEqual(selected, [lines[0], lines[2], lines[3]].map((line) => line.join("\t")));
});

test("marks on frames that were not proven are counted, and flags are said at the means they touch", async (t) => {
  const page = await opened(t, { proof: "not_proven" });
  const marks = await page.evaluate(() => window.numbersPage.store.marking().marks.length);
  assert.match(await page.locator("[data-caution=not_proven]").textContent(), new RegExp(`^${marks} of ${marks} marks`));
  assert.equal(await page.locator("[data-caution=flags]").count(), 0);
  // A second exit in one stroke cannot be.
  await page.evaluate(() => {
    const { store } = window.numbersPage;
    const exit = store.marking().marks.filter((mark) => mark.kind === "exit" && mark.side === "left")[3];
    store.apply({ command: "add_mark", clip: store.clip_id, kind: "exit", side: "left", time: exit.time + 512, proof: "decoded" });
  });
  assert.equal(await page.locator("[data-caution=flags]").count(), 1);
  const touched = (await measuresOf(page)).filter((measure) => measure.flags.length > 0 && measure.kind === "propulsive_gap" && measure.cycle === null && measure.quantity);
  assert.ok(touched.length > 0);
  const said = page.locator("[data-group=gap] .numbers-flagged").first();
  await said.focus();
  const message = await page.evaluate(() => window.numbersPage.store.marking().analysis.flags[0].message);
  assert.ok((await said.locator("xpath=..").getByRole("tooltip").textContent()).includes(message));
});

test("cautions stand where they belong and nothing is called good or bad", async (t) => {
  const page = await opened(t);
  assert.match(await page.locator("[data-group=coordination]").textContent(), /Catch-up is not wrong/);
  await page.locator(".numbers-table select").selectOption("breathing");
  assert.match(await page.locator("[data-caution=breathing]").textContent(), /never ignore the urge to breathe/i);
  await page.locator(".numbers-table select").selectOption("rate");
  assert.equal(await page.locator("[data-caution=breathing]").count(), 0);
  const text = await page.locator(".numbers").textContent();
  assert.doesNotMatch(text, /\b(good|bad|poor|better|worse|excellent|too (long|short|slow))\b/i);
});

test("the wheel turns to the arm that the coach calls near", async (t) => {
  const page = await opened(t);
  const firstRing = () => page.locator(".wheel [data-side]").first().getAttribute("data-side");
  assert.equal(await firstRing(), "left");
  await page.locator(".numbers-wheel-choice").getByRole("button", { name: "right" }).click();
  assert.equal(await firstRing(), "right");
  const share = Number(await page.locator(".wheel [data-waiting=left]").getAttribute("data-share"));
  const measured = find(await measuresOf(page), "propulsive_gap_share", "left", "all").quantity.value / 100;
  // Not the same mean (of the drawn cycles' angles, not of the single gaps), but the same gap.
  assert.ok(Math.abs(share - measured) < 0.015, `${share} against ${measured}`);
});

test("without a clip and without marks the view says what to do", async (t) => {
  const { page, troubles } = await newPage(browser.context);
  await page.goto(`${site.address}tests/browser/pages/numbers.html`);
  await page.waitForSelector("body[data-ready]");
  assert.match(await page.locator(".numbers").textContent(), /No clip is open/);
  assert.deepEqual(await axeViolations(page), []);
  await page.evaluate(() => window.numbersPage.open(0, () => false));
  assert.match(await page.locator(".numbers").textContent(), /two entries of one hand.*stroke rate/s);
  await page.getByRole("button", { name: "Mark frames" }).click();
  assert.equal((await went(page)).at(-1).way, "marks");
  assert.deepEqual(await axeViolations(page), []);
  assert.deepEqual(troubles, []);
  await page.close();
});

for (const theme of ["light", "dark"]) {
  test(`axe-core finds nothing, ${theme}`, async (t) => {
    const page = await opened(t, { theme, leaveOut: ["downbeat"], proof: "not_proven" });
    await page.waitForSelector("[data-chart=rates] .numbers-spot");
    await page.getByLabel(/without a number/).check();
    for (const summary of await page.locator("summary").all()) await summary.click();
    assert.deepEqual(await axeViolations(page), []);
    await page.locator("[data-group=gap] .numbers-n").first().click();
    assert.deepEqual(await axeViolations(page), []);
  });
}

test("in print the charts are black on white in the dark theme too", async (t) => {
  const page = await opened(t, { theme: "dark" });
  await page.waitForSelector("[data-chart=gaps] canvas");
  const darkest = () =>
    page.$eval("[data-chart=gaps] canvas", (canvas) => {
      const { data } = canvas.getContext("2d").getImageData(0, 0, canvas.width, canvas.height);
      let least = 255;
      for (let at = 0; at < data.length; at += 4) if (data[at + 3] === 255) least = Math.min(least, data[at] + data[at + 1] + data[at + 2]);
      return least;
    });
  const onScreen = await darkest();
  await page.evaluate(() => dispatchEvent(new Event("beforeprint")));
  assert.equal(await darkest(), 0);
  await page.evaluate(() => dispatchEvent(new Event("afterprint")));
  assert.equal(await darkest(), onScreen);
});
