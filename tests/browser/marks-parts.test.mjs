// The pure parts of the marking view, run in the browser they are made for.

import { after, before, test } from "node:test";
import assert from "node:assert/strict";
import { launchChromium, newPage, startSite } from "./harness.mjs";

/** @type {Awaited<ReturnType<typeof startSite>>} */
let site;
/** @type {Awaited<ReturnType<typeof launchChromium>>} */
let browser;
/** @type {import("playwright-core").Page} */
let page;

before(async () => {
  site = await startSite();
  browser = await launchChromium();
  ({ page } = await newPage(browser.context));
  // Any document of the site will do: the modules are imported by themselves.
  await page.goto(`${site.address}words.js`);
});

after(async () => {
  await browser?.close();
  await site?.close();
});

test("a clock made of runs gives the same frames as the plain list of starts", async () => {
  const wrong = await page.evaluate(async () => {
    const { ClipClock } = await import("/marks/clip-clock.js");
    const runs = [[7, 1001], [1, 40], [3, 5000], [20, 512], [1, 1]];
    const clock = new ClipClock({ timescale: 30000, filmed_rate_fps: null, frame_times: { first: -130, runs } });
    const starts = [];
    let at = -130;
    for (const [count, spacing] of runs) for (let k = 0; k < count; k += 1) { starts.push(at); at += spacing; }
    const wrong = [];
    starts.forEach((start, frame) => { if (clock.ticksOf(frame) !== start) wrong.push(["ticksOf", frame]); });
    for (let ticks = -200; ticks < at + 50; ticks += 1) {
      const expected = Math.max(starts.findLastIndex((start) => start <= ticks), 0);
      if (clock.frameAt(ticks) !== expected) wrong.push(["frameAt", ticks, clock.frameAt(ticks), expected]);
    }
    if (clock.frameCount !== starts.length || clock.end !== at) wrong.push("ends");
    return wrong;
  });
  assert.deepEqual(wrong, []);
});

test("a stated filmed rate stretches the roll's seconds by the median spacing, as the clock in Rust does", async () => {
  const seconds = await page.evaluate(async () => {
    const { ClipClock } = await import("/marks/clip-clock.js");
    const clock = new ClipClock({ timescale: 30000, filmed_rate_fps: 240, frame_times: { first: 0, runs: [[90, 1001]] } });
    return clock.seconds(24 * 1001);
  });
  // The same vector as crates/time/src/clock.rs: 24 frames filmed at 240 frames/s are a tenth of a second.
  assert.ok(Math.abs(seconds - 0.1) < 1e-12);
});

test("the visible part of a track is what a plain search finds", async () => {
  const wrong = await page.evaluate(async () => {
    const { Track } = await import("/marks/roll-geometry.js");
    let seed = 7;
    const random = () => { seed = (seed * 1103515245 + 12345) % 2147483648; return seed / 2147483648; };
    const items = Array.from({ length: 400 }, (_, id) => { const start = Math.floor(random() * 10000); return { id, start, end: start + Math.floor(random() * 300) }; });
    const track = new Track(items, (item) => item.start, (item) => item.end);
    const wrong = [];
    for (let round = 0; round < 300; round += 1) {
      const from = random() * 11000 - 500;
      const to = from + random() * 2000;
      const found = [...track.between(from, to)].map((item) => item.id).sort((a, b) => a - b).join();
      const expected = items.filter((item) => item.end >= from && item.start <= to).map((item) => item.id).join();
      if (found !== expected) wrong.push([from, to]);
    }
    return wrong;
  });
  assert.deepEqual(wrong, []);
});

test("zooming keeps the playhead where it is, from one cycle to the whole clip", async () => {
  const found = await page.evaluate(async () => {
    const { ClipClock } = await import("/marks/clip-clock.js");
    const { RollWindow } = await import("/marks/roll-geometry.js");
    const clock = new ClipClock({ timescale: 60000, filmed_rate_fps: null, frame_times: { first: 0, runs: [[864, 1000]] } });
    const view = new RollWindow(clock, 880);
    view.centre(300000);
    const moved = [];
    for (const zoom of [0, 0.2, 0.5, 0.9, 1]) {
      view.setZoom(zoom, 300000);
      moved.push(Math.abs(view.xOf(300000) - 440));
    }
    view.showSeconds(1.4, 300000);
    const cycle = view.secondsAcross;
    view.setZoom(0, 300000);
    return { moved: Math.max(...moved), cycle, whole: view.secondsAcross, back: Math.abs(view.timeAt(view.xOf(1234)) - 1234) };
  });
  assert.ok(found.moved < 1e-6);
  assert.ok(Math.abs(found.cycle - 1.4) < 1e-9);
  assert.ok(Math.abs(found.whole - 14.4) < 1e-9);
  assert.ok(found.back < 1e-6);
});

test("no two actions share a key, and the arms' keys lie on their own sides in the order of the stroke", async () => {
  const { bindings, shared } = await page.evaluate(async () => {
    const { BINDINGS } = await import("/marks/keys.js");
    const chords = BINDINGS.map(({ chord }) => chord);
    return { bindings: BINDINGS, shared: chords.filter((chord, index) => chords.indexOf(chord) !== index) };
  });
  assert.deepEqual(shared, []);
  const keys = (side, kinds) => kinds.map((kind) => bindings.find(({ mark }) => mark?.side === side && mark.kind === kind).chord);
  const arm = ["entry", "catch", "mid_pull", "exit"];
  assert.deepEqual(keys("left", arm), ["KeyA", "KeyS", "KeyD", "KeyF"]);
  assert.deepEqual(keys("right", arm), ["KeyJ", "KeyK", "KeyL", "Semicolon"]);
  const kinds = new Set(bindings.filter(({ mark }) => mark).map(({ mark }) => mark.kind));
  assert.equal(kinds.size, 12, "every kind of mark has a key");
});

test("a changed key swaps with its holder, is kept, and can be given back", async () => {
  const found = await page.evaluate(async () => {
    const { KeyMap, labelOf } = await import("/marks/keys.js");
    const map = new KeyMap();
    const swap = map.change("mark_left_entry", "KeyS");
    const again = new KeyMap(map.changes);
    const refused = [again.change("play", "Tab"), again.change("play", "Mod+KeyT"), again.change("play", "Backspace")].map(({ refused: is }) => is);
    const kept = [again.chordOf("mark_left_entry"), again.chordOf("mark_left_catch"), again.chordOf("play")];
    const asked = again.asked(new KeyboardEvent("keydown", { code: "KeyA", key: "a" }));
    const retyped = again.asked(new KeyboardEvent("keydown", { code: "KeyJ", key: "J", shiftKey: true }));
    const sheet = again.asked(new KeyboardEvent("keydown", { code: "Minus", key: "?", shiftKey: true }));
    const typed = again.asked(new KeyboardEvent("keydown", { code: "KeyA", key: "å", altKey: true }));
    again.reset();
    return { swap, refused, kept, asked, retyped, sheet, typed, left: again.changes, label: labelOf("Semicolon", new Map([["Semicolon", "ö"]]), false), mac: labelOf("Mod+KeyZ", new Map(), true) };
  });
  assert.deepEqual(found.swap, { refused: false, swapped: "mark_left_catch" });
  assert.deepEqual(found.refused, [true, true, true]);
  assert.deepEqual(found.kept, ["KeyS", "KeyA", "Space"]);
  assert.deepEqual(found.asked, { action: "mark_left_catch", retype: false });
  assert.deepEqual(found.retyped, { action: "mark_right_entry", retype: true });
  assert.deepEqual(found.sheet, { action: "keys", retype: false });
  assert.equal(found.typed, null);
  assert.deepEqual(found.left, {});
  assert.equal(found.label, "Ö");
  assert.equal(found.mac, "⌘ Z");
});

test("fast hands: only the newest frame is decoded, and an action waits for the frame it was asked on", async () => {
  const found = await page.evaluate(async () => {
    const { Jog } = await import("/marks/jog.js");
    const decoded = [];
    const seen = [];
    /** Lets one frame through at a time. @type {(() => void)[]} */
    const gates = [];
    const player = {
      current: { frame: 0 }, frameCount: 100,
      show(frame) {
        decoded.push(frame);
        return new Promise((resolve) => gates.push(() => { if (frame !== 13) this.current = { frame }; resolve(); }));
      },
    };
    const jog = new Jog(() => player, (error) => seen.push(String(error)));
    const settle = async () => { for (let turn = 0; turn < 50; turn += 1) { gates.shift()?.(); await Promise.resolve(); } };
    for (let press = 0; press < 5; press += 1) jog.inOrder(() => { void jog.by(1); });
    jog.inOrder(() => jog.onFrameShown((reached) => seen.push(["mark", player.current.frame, reached])));
    jog.inOrder(() => { void jog.by(3); });
    jog.inOrder(() => jog.onFrameShown((reached) => seen.push(["mark", player.current.frame, reached])));
    await settle();
    jog.inOrder(() => { void jog.to(13); });
    jog.inOrder(() => jog.onFrameShown((reached) => seen.push(["mark", player.current.frame, reached])));
    await settle();
    return { decoded, seen };
  });
  assert.deepEqual(found.decoded, [1, 5, 8, 13], "frames passed over are not decoded");
  assert.deepEqual(found.seen, [["mark", 5, true], ["mark", 8, true], ["mark", 8, false]], "a frame not reached is told, not taken for another");
});

test("a typed place is a frame or a time, and nonsense is neither", async () => {
  const found = await page.evaluate(async () => {
    const { placeTyped } = await import("/marks/transport.js");
    return ["132", " 2.2 ", "2,25 s", "4s", ".5", "abc", "", "1.2.3", "-4"].map(placeTyped);
  });
  assert.deepEqual(found, [{ frame: 132 }, { seconds: 2.2 }, { seconds: 2.25 }, { seconds: 4 }, { seconds: 0.5 }, null, null, null, null]);
});

test("figures keep the digits that their uncertainty deserves", async () => {
  const found = await page.evaluate(async () => {
    const { valueAndError } = await import("/marks/figures.js");
    return [
      valueAndError({ value: 82.4321, uncertainty: 0.61, unit: "" }),
      valueAndError({ value: -9.634, uncertainty: 0.16, unit: "" }),
      valueAndError({ value: 0.1127, uncertainty: 0.0068, unit: "s" }, 1000),
      valueAndError({ value: -0.0001, uncertainty: 0.0068, unit: "s" }, 1000),
      valueAndError({ value: 1.32, uncertainty: 0.0034, unit: "s" }),
    ];
  });
  assert.deepEqual(found, [
    { value: "82.4", error: "0.6" },
    { value: "−9.63", error: "0.16" },
    { value: "113", error: "7" },
    { value: "0", error: "7" },
    { value: "1.320", error: "0.003" },
  ]);
});

test("the reaction time is the median of the practice taps, with a spread that one slip does not spoil", async () => {
  const { late_ms, spread_ms } = await page.evaluate(async () => {
    const { reactionOf } = await import("/marks/reaction.js");
    return reactionOf([30, 42, 38, 35, 41, 390, 33, 44, 36, 40]);
  });
  assert.equal(late_ms, 39);
  assert.ok(spread_ms > 4 && spread_ms < 8, `spread ${spread_ms}`);
});
