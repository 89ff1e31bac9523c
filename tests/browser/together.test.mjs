// Two clips seen together: which frames are on the screen, against the demo's known truth; steps, play, missing
// files, the overlay, hands of every kind.
//
// What "the nearest frame to a phase by the known truth" is: together-truth.mjs.

import assert from "node:assert/strict";
import { mkdir } from "node:fs/promises";
import path from "node:path";
import { after, afterEach, before, beforeEach, describe, test } from "node:test";
import { axeViolations, launchChromium, newPage, OUTPUT, ROOT, startSite } from "./harness.mjs";
import { withoutPickers } from "./sitting.mjs";
import { cyclesOf, demoClips, exactFrame, nearest, phaseOf, trueCyclesOf } from "./together-truth.mjs";

const WIDE = { width: 1366, height: 768 };
const NARROW = { width: 390, height: 844 };

let site;
let browser;
let truth;
let page;
let troubles;

before(async () => {
  await mkdir(OUTPUT, { recursive: true });
  truth = await demoClips();
  site = await startSite();
  browser = await launchChromium({ hasTouch: true });
  await withoutPickers(browser.context);
});

after(async () => {
  await browser?.close();
  await site?.close();
});

beforeEach(async () => {
  ({ page, troubles } = await newPage(browser.context));
  await page.setViewportSize(WIDE);
  await page.goto(`${site.address}tests/browser/pages/together.html`);
  await page.waitForSelector("body[data-ready]");
});

afterEach(async () => {
  await page.close();
  assert.deepEqual(troubles, [], "the page met no error of its own");
});

/** Both clips of the demo with their true events, and the view. */
const openDemo = () => page.evaluate(() => window.togetherPage.openDemo());

const at = (/** @type {number} */ position) => page.evaluate((where) => window.togetherPage.at(where), position);
const frames = async () => {
  await page.evaluate(() => window.togetherPage.settled());
  return page.evaluate(() => window.togetherPage.frames().map(({ frame }) => frame));
};
const place = () => page.evaluate(() => window.togetherPage.view.pair.moment.place);
const press = async (/** @type {string} */ key) => {
  await page.keyboard.press(key);
  return frames();
};
const text = (/** @type {string} */ selector) => page.locator(selector).first().innerText();

describe("the frames on the screen", () => {
  test("for each of 50 phases both clips show the frame nearest to it by the known truth", async () => {
    await openDemo();
    const cycles = truth.map((clip) => cyclesOf(clip, "left"));
    const trueCycles = truth.map((clip) => trueCyclesOf(clip, "left"));
    const seen = new Set();
    for (let step = 0; step < 50; step += 1) {
      const u = (4 * step) / 50;
      const { frames: shown, pixels } = await at(u);
      for (const index of [0, 1]) {
        const expected = nearest(exactFrame(cycles[index][0], u));
        assert.deepEqual(shown[index], { frame: expected, proof: "decoded" }, `u ${u}, clip ${index}`);
        // Half a frame from the marks, which stand on frames, and half from the frame shown: never more than one.
        assert.ok(Math.abs(expected - exactFrame(trueCycles[index][0], u)) <= 1, `u ${u}, clip ${index}`);
        // Not only said to be: the picture is that frame's, bit for bit, as another player decodes it.
        const reference = await page.evaluate(([clip, frame]) => window.togetherPage.reference(clip, frame), [index, expected]);
        assert.equal(pixels[index], reference, `the picture at u ${u}, clip ${index}, frame ${expected}`);
        seen.add(`${index} ${reference}`);
      }
    }
    await page.evaluate(() => window.togetherPage.closeReferences());
    assert.ok(seen.size > 90, `the pictures differ, so that a wrong one would show: ${seen.size}`);
  });

  test("any cycle of each, of the right arm too", async () => {
    await openDemo();
    await page.click('[data-choice="side"][data-value="right"]');
    await page.locator('[data-cycle="after"]').nth(1).click();
    await page.locator('[data-cycle="after"]').nth(1).click();
    await page.locator('[data-cycle="after"]').nth(0).click();
    const [before, after] = truth.map((clip) => cyclesOf(clip, "right"));
    for (let step = 0; step < 50; step += 3) {
      const u = (4 * step) / 50;
      const shown = (await at(u)).frames.map(({ frame }) => frame);
      assert.deepEqual(shown, [nearest(exactFrame(before[1], u)), nearest(exactFrame(after[2], u))], `u ${u}`);
    }
    assert.match(await text(".together-cycle-name"), /Cycle 2 of/);
  });

  test("a step is one frame of the driving clip, and the other follows to its nearest", async () => {
    await openDemo();
    const cycles = truth.map((clip) => cyclesOf(clip, "left")[0]);
    const lengths = cycles.map((cycle) => cycle[4] - cycle[0]);
    const usual = lengths[1] > lengths[0] ? 1 : 0;
    for (const driving of [usual, 0, 1]) {
      if (driving !== usual || await place() > 0) {
        await page.selectOption('[data-choice="driving"]', driving === 0 ? "first" : "second");
        await at(0);
      }
      for (let step = 1; step <= 12; step += 1) {
        const shown = await press("ArrowRight");
        assert.equal(shown[driving], cycles[driving][0] + step);
        const u = phaseOf(cycles[driving], shown[driving]);
        assert.equal(shown[1 - driving], nearest(exactFrame(cycles[1 - driving], u)), `step ${step}, driven by ${driving}`);
      }
      for (let step = 11; step >= 0; step -= 1) {
        const shown = await press("ArrowLeft");
        assert.equal(shown[driving], cycles[driving][0] + step);
      }
      assert.deepEqual(await press("ArrowLeft"), await frames(), "the first frame of the cycle stays");
    }
  });

  test("many steps at once end where they add up to, and the pair on the screen belongs together", async () => {
    await openDemo();
    await page.evaluate(() => {
      for (let step = 0; step < 30; step += 1) window.togetherPage.view.step(1);
    });
    const shown = await frames();
    const cycles = truth.map((clip) => cyclesOf(clip, "left")[0]);
    const driving = cycles[1][4] - cycles[1][0] > cycles[0][4] - cycles[0][0] ? 1 : 0;
    assert.equal(shown[driving], cycles[driving][0] + 30);
    assert.equal(shown[1 - driving], nearest(exactFrame(cycles[1 - driving], phaseOf(cycles[driving], shown[driving]))));
  });

  test("leaves to the marks of a frame that is shown, and comes back to where it was", async () => {
    await openDemo();
    await page.click('[data-choice="side"][data-value="right"]');
    const before = await at(2.5);
    await page.locator('[data-action="marks"]').nth(1).click();
    const { frame } = before.frames[1];
    assert.deepEqual(await page.evaluate(() => window.togetherPage.went.at(-1)), { way: "marks", clip: 2, at: frame * truth[1].frame_ticks });
    await page.evaluate(async () => {
      window.togetherPage.unmount();
      window.togetherPage.mount();
      await window.togetherPage.settled();
    });
    assert.deepEqual(await frames(), before.frames.map((shown) => shown.frame));
  });

  test("through all cycles in order, and the clip with fewer starts again and says so", async () => {
    await openDemo();
    await page.click('[data-choice="run"][data-value="all"]');
    const cycles = truth.map((clip) => cyclesOf(clip, "left"));
    const most = Math.max(cycles[0].length, cycles[1].length);
    for (const stroke of [0, 3, most - 1]) {
      const shown = (await at(4 * stroke + 1.5)).frames.map(({ frame }) => frame);
      const expected = cycles.map((own) => nearest(exactFrame(own[stroke % own.length], 1.5)));
      assert.deepEqual(shown, expected, `stroke ${stroke}`);
    }
    assert.notEqual(cycles[0].length, cycles[1].length, "the demo's clips have different numbers of cycles");
    assert.match(await text(".together-caution"), /has fewer cycles and has started again with its first/);
  });

  test("by time, both are as far from their chosen marks", async () => {
    await openDemo();
    await page.click('[data-choice="by"][data-value="time"]');
    const starts = truth.map((clip) => cyclesOf(clip, "left")[0][0]);
    for (const seconds of [0, 0.25, 1.5, 4]) {
      const shown = (await at(seconds)).frames.map(({ frame }) => frame);
      assert.deepEqual(shown, starts.map((frame, index) => nearest(frame + seconds * truth[index].rate_fps)), `${seconds} s`);
    }
    // From another mark of one of them.
    const catches = cyclesOf(truth[1], "left")[0][1];
    const option = await page.locator('[data-from-of="1"] option', { hasText: `left catch, frame ${catches}` }).getAttribute("value");
    await page.selectOption('[data-from-of="1"]', option);
    const shown = (await at(1)).frames.map(({ frame }) => frame);
    assert.deepEqual(shown, [starts[0] + truth[0].rate_fps, catches + truth[1].rate_fps]);
    // Beyond the end of one clip its last frame is held, and that is said.
    await at(1000);
    assert.equal(await page.locator(".together-held").count(), 1);
  });

  test("clips of another size, rate, codec and rotation go together too", async () => {
    const known = await page.evaluate(async () => {
      const { togetherPage } = window;
      await togetherPage.add(0);
      const id = await togetherPage.addTest("rotated_90.mp4", "turned");
      const facts = togetherPage.files.factsOf(id);
      const ticks = (frame) => facts.frame_times.first + frame * facts.spacing.median;
      const commands = [["entry", 2], ["catch", 9], ["mid_pull", 14], ["exit", 20], ["entry", 26]].map(([kind, frame]) => ({
        command: "add_mark", clip: id, kind, side: "left", time: ticks(frame), proof: "decoded",
      }));
      togetherPage.store.apply({ command: "group", label: "events", commands });
      togetherPage.mount();
      await togetherPage.settled();
      return { width: facts.width, height: facts.height };
    });
    const cycle = cyclesOf(truth[0], "left")[0];
    for (const u of [0, 0.5, 1, 2.4, 3.7]) {
      const shown = (await at(u)).frames.map(({ frame }) => frame);
      assert.deepEqual(shown, [nearest(exactFrame(cycle, u)), nearest(exactFrame([2, 9, 14, 20, 26], u))], `u ${u}`);
    }
    const sizes = await page.evaluate(() => window.togetherPage.view.screens.map(({ canvas }) => [canvas.width, canvas.height]));
    assert.deepEqual(sizes[1], [known.width, known.height], "the turned clip stands upright");
    assert.notDeepEqual(sizes[0], sizes[1]);
  });
});

describe("play", () => {
  test("at a common speed both stay within one frame of each other in phase", async () => {
    await openDemo();
    const cycles = truth.map((clip) => cyclesOf(clip, "left")[0]);
    const played = await page.evaluate(() => window.togetherPage.play({ moments: 40 }));
    assert.ok(new Set(played.seen.map(({ place: shown }) => shown)).size > 20);
    for (const { frames: shown } of played.seen) {
      const u = phaseOf(cycles[0], Math.min(shown[0], cycles[0][4] - 1));
      assert.ok(Math.abs(exactFrame(cycles[1], u) - shown[1]) <= 1, `frames ${shown} at u ${u}`);
    }
    // A quarter of the driving clip's own speed, as far as this machine keeps up; never faster.
    const first = played.seen[1];
    const last = played.seen.at(-1);
    const passed_s = (last.place - first.place) / truth[0].rate_fps;
    assert.ok(passed_s <= ((last.at_ms - first.at_ms) / 1000) * 0.25 + 0.05, `${passed_s} s passed`);
    assert.ok(played.frames.every(({ proof }) => proof === "decoded"));
  });

  test("one cycle goes round; all cycles play to their end and stop", async () => {
    await openDemo();
    await page.selectOption('[data-choice="rate"]', "1");
    await at(3.9);
    const round = await page.evaluate(() => window.togetherPage.play({ round: true }));
    const cycle = cyclesOf(truth[0], "left")[0];
    assert.ok(round.seen.some(({ frames: shown }) => shown[0] < cycle[1]), "it began again");
    assert.ok(round.seen.every(({ frames: shown }) => shown[0] >= cycle[0] && shown[0] <= cycle[4]));
    await page.click('[data-choice="run"][data-value="all"]');
    const end = await page.evaluate(() => window.togetherPage.view.facts.to);
    await at(end - 0.1);
    const played = await page.evaluate(() => window.togetherPage.play({}));
    assert.ok(played.seen.length > 1);
    assert.equal(await page.evaluate(() => window.togetherPage.view.play.on), false);
    assert.equal(await text('[data-action="play"]'), "Play");
  });
});

describe("memory", () => {
  test("both players together keep no more than one alone, and the marking view's player is let go meanwhile", async () => {
    const shares = await page.evaluate(async () => {
      const { togetherPage } = window;
      await togetherPage.add(0);
      await togetherPage.add(1);
      const asked = [];
      const original = Worker.prototype.postMessage;
      Worker.prototype.postMessage = function post(message, ...rest) {
        if (message.ask === "open") asked.push(message.ring_bytes);
        return original.call(this, message, ...rest);
      };
      await togetherPage.files.openPlayer();
      const [alone] = asked.splice(0);
      togetherPage.mount();
      await togetherPage.settled();
      const during = togetherPage.files.player;
      const both = asked.splice(0);
      const main = document.getElementById("main");
      togetherPage.unmount();
      await new Promise((resolve) => {
        const watch = () => togetherPage.files.player && resolve(undefined);
        togetherPage.files.addEventListener("player", watch);
        watch();
      });
      Worker.prototype.postMessage = original;
      const after = { isBack: togetherPage.files.player !== null, opened: asked.length, left: main.querySelector(".together") !== null };
      return { alone, both, during, after };
    });
    assert.equal(shares.both.length, 2);
    assert.equal(shares.both[0] + shares.both[1], shares.alone);
    assert.equal(shares.during, null);
    assert.deepEqual(shares.after, { isBack: true, opened: 1, left: false }, "what was left opens nothing any more");
  });
});

describe("what is missing", () => {
  test("a clip without its file says what to choose; the other works, and the file comes back", async () => {
    await page.evaluate(async () => {
      const { togetherPage } = window;
      const first = await togetherPage.add(0);
      await togetherPage.add(1);
      // As after a reload: the session is there, of the files only one.
      const keep = togetherPage.files.fileOf(first);
      togetherPage.files.fileOf = (id) => (id === first && !togetherPage.isBack ? null : Object.getPrototypeOf(togetherPage.files).fileOf.call(togetherPage.files, id));
      togetherPage.kept = keep;
      togetherPage.mount();
      await togetherPage.settled();
    });
    assert.match(await text("[data-missing]"), /before\.mp4 needs its file/);
    const cycle = cyclesOf(truth[1], "left")[0];
    const { frames: shown } = await at(1.5);
    assert.deepEqual(shown[1], { frame: nearest(exactFrame(cycle, 1.5)), proof: "decoded" });
    await page.screenshot({ path: path.join(OUTPUT, "together-missing.png") });
    assert.deepEqual(await axeViolations(page), []);
    // Another file is refused in words and nothing changes.
    const [wrong] = await Promise.all([page.waitForEvent("filechooser"), page.click('[data-action="choose-again"]')]);
    await wrong.setFiles(path.join(ROOT, "tests/clips/b_frames.mp4"));
    await page.waitForFunction(() => window.togetherPage.told.length > 0);
    assert.match(await page.evaluate(() => window.togetherPage.told[0].message), /before\.mp4|b_frames\.mp4/);
    await page.evaluate(() => { window.togetherPage.isBack = true; });
    const [chooser] = await Promise.all([page.waitForEvent("filechooser"), page.click('[data-action="choose-again"]')]);
    await chooser.setFiles(path.join(ROOT, "demo/before.mp4"));
    await page.locator("[data-missing]").waitFor({ state: "detached" });
    const back = await at(1.5);
    assert.equal(back.frames[0].frame, nearest(exactFrame(cyclesOf(truth[0], "left")[0], 1.5)));
  });

  test("with no clip, one clip, and one clip twice", async () => {
    await page.evaluate(() => window.togetherPage.mount());
    await page.waitForSelector(".together-nothing");
    assert.match(await text(".together-nothing"), /Nothing to see together yet/);
    await page.evaluate(() => window.togetherPage.add(0));
    await page.click('[data-action="twice"]');
    await page.waitForSelector(".together-panes");
    const cycles = cyclesOf(truth[0], "left");
    const { frames: shown } = await at(2.5);
    assert.deepEqual(shown.map(({ frame }) => frame), [0, 1].map((index) => nearest(exactFrame(cycles[index], 2.5))));
  });

  test("without a complete cycle it says what to mark, and offers the other arm or the time", async () => {
    await page.evaluate(async () => {
      const { togetherPage } = window;
      await togetherPage.add(0);
      await togetherPage.add(1, { wanted: ({ side }) => side === "right" });
      togetherPage.mount();
      await togetherPage.settled();
    });
    assert.equal(await page.getAttribute('[data-choice="side"][data-value="right"]', "aria-pressed"), "true", "it begins with the arm that both have");
    await page.click('[data-choice="side"][data-value="left"]');
    await page.waitForSelector(".together-nothing");
    assert.match(await text(".together-nothing"), /After has no complete cycle of the left arm\. Mark two left entries/);
    assert.deepEqual(await axeViolations(page), []);
    await page.click('[data-action="mark"]');
    assert.deepEqual(await page.evaluate(() => window.togetherPage.went.at(-1)), { way: "marks", clip: 2 });
    await page.click('[data-action="by-time"]');
    await page.waitForSelector('[data-from-of="1"]');
    await page.click('[data-choice="by"][data-value="phase"]');
    await page.click('[data-action="other-arm"]');
    await page.waitForSelector(".together-scrub");
  });

  test("a missing event is told, and the phase runs evenly across it", async () => {
    await page.evaluate(async () => {
      const { togetherPage } = window;
      await togetherPage.add(0, { wanted: ({ kind, side }) => !(kind === "mid_pull" && side === "left") });
      await togetherPage.add(1);
      togetherPage.mount();
      await togetherPage.settled();
    });
    assert.match(await text(".together-caution"), /In before, mid-pull is not marked, or flagged, in this cycle/);
    const [, caught, , left] = cyclesOf(truth[0], "left")[0];
    const { frames: shown } = await at(2);
    assert.equal(shown[0].frame, nearest((caught + left) / 2));
    // Marked meanwhile, it is used at once, and the place stays.
    await page.evaluate(() => window.togetherPage.mark(1, 0, ({ kind, side }) => kind === "mid_pull" && side === "left"));
    assert.equal((await frames())[0], cyclesOf(truth[0], "left")[0][2]);
    assert.equal(await page.locator(".together-caution").count(), 0);
  });
});

describe("hands", () => {
  test("the keyboard alone: frames, ten frames, phases, cycles, play", async () => {
    await openDemo();
    const cycles = truth.map((clip) => cyclesOf(clip, "left"));
    const start = await frames();
    assert.deepEqual(start, [cycles[0][0][0], cycles[1][0][0]]);
    const ten = await press("Shift+ArrowRight");
    assert.ok(Math.max(ten[0] - start[0], ten[1] - start[1]) === 10);
    for (const [key, node] of [["2", 1], ["3", 2], ["4", 3], ["1", 0]]) {
      assert.deepEqual(await press(key), [cycles[0][0][node], cycles[1][0][node]], `key ${key}`);
    }
    assert.deepEqual(await press("ArrowDown"), [cycles[0][1][0], cycles[1][1][0]]);
    assert.deepEqual(await press("ArrowUp"), start);
    await page.keyboard.press("Space");
    await page.waitForFunction(() => window.togetherPage.view.play.on);
    await page.keyboard.press("Space");
    await page.waitForFunction(() => !window.togetherPage.view.play.on);
    // Everything that can be used is reached by Tab, and says what it is.
    await page.locator(".together-scrub").focus();
    assert.equal(await page.getAttribute(".together-scrub", "role"), "slider");
    await press("4");
    assert.match(await page.getAttribute(".together-scrub", "aria-valuetext"), /^Recovery, 0 %; frames \d+ and \d+$/);
    const reached = new Set();
    for (let tab = 0; tab < 40; tab += 1) {
      await page.keyboard.press("Tab");
      reached.add(await page.evaluate(() => document.activeElement?.getAttribute("data-choice") ?? document.activeElement?.getAttribute("data-action") ?? document.activeElement?.className));
    }
    for (const wanted of ["play", "back", "forward", "rate", "side", "by", "run", "face", "driving", "together-scrub"]) assert.ok(reached.has(wanted), `${wanted} of ${[...reached]}`);
  });

  test("the mouse draws the scrubber, and steps by drawing over a picture", async () => {
    await openDemo();
    const box = await page.locator(".together-scrub").boundingBox();
    await page.mouse.move(box.x + 100, box.y + 80);
    await page.mouse.down();
    await page.mouse.move(box.x + box.width * 0.55, box.y + 80, { steps: 5 });
    await page.mouse.up();
    await frames();
    const position = await page.evaluate(() => window.togetherPage.view.pair.shown.position);
    assert.ok(position > 1.7 && position < 2.4, `${position}`);
    const from = await place();
    const stage = await page.locator(".together-stage").first().boundingBox();
    await page.mouse.move(stage.x + 200, stage.y + 100);
    await page.mouse.down();
    await page.mouse.move(stage.x + 200 + 14 * 5 + 3, stage.y + 100, { steps: 6 });
    await page.mouse.up();
    await frames();
    assert.equal(await place(), from + 5);
  });

  test("what is magnified in one picture is magnified in the other, by wheel and by keyboard", async () => {
    await openDemo();
    const boxes = () => page.evaluate(() => window.togetherPage.view.screens.map(({ canvas, stage }) => {
      const [inner, outer] = [canvas.getBoundingClientRect(), stage.getBoundingClientRect()];
      return [inner.width, inner.left - outer.left, inner.top - outer.top].map(Math.round);
    }));
    const whole = await boxes();
    const stage = await page.locator(".together-stage").nth(1).boundingBox();
    await page.mouse.move(stage.x + 150, stage.y + 120);
    await page.mouse.wheel(0, -300);
    await page.waitForFunction(() => window.togetherPage.view.screens[0].picture.magnification > 1.5);
    const [one, other] = await boxes();
    assert.deepEqual(one, other);
    assert.ok(one[0] > whole[0][0] * 1.5);
    await page.keyboard.press("Backquote");
    assert.deepEqual(await boxes(), whole);
    await page.keyboard.press("PageUp");
    assert.ok((await boxes()).every(([width]) => width > whole[0][0] * 1.2));
  });

  test("on a phone: one above the other, a finger draws the scrubber, nothing is too small or too wide", async () => {
    await page.setViewportSize(NARROW);
    await openDemo();
    await at(0.85);
    const [one, other] = await Promise.all([0, 1].map((index) => page.locator(".together-stage").nth(index).boundingBox()));
    assert.ok(other.y > one.y + one.height, "one above the other");
    assert.ok(one.width > 340, "as wide as the phone");
    assert.equal(await page.evaluate(() => document.documentElement.scrollWidth), NARROW.width);
    const box = await page.locator(".together-scrub").boundingBox();
    assert.ok(box.y + box.height <= NARROW.height, "the scrubber is in reach");
    const session = await page.context().newCDPSession(page);
    const touch = (type, x) => session.send("Input.dispatchTouchEvent", { type, touchPoints: type === "touchEnd" ? [] : [{ x, y: box.y + 60 }] });
    await touch("touchStart", box.x + 40);
    for (let x = 60; x <= 260; x += 20) await touch("touchMove", box.x + x);
    await touch("touchEnd", 0);
    await frames();
    const position = await page.evaluate(() => window.togetherPage.view.pair.shown.position);
    assert.ok(position > 2.3 && position < 3.2, `${position}`);
    const small = await page.evaluate(() => [...document.querySelectorAll(".together button, .together select, .together-scrub")]
      .filter((element) => element.checkVisibility())
      .map((element) => ({ name: element.getAttribute("data-choice") ?? element.getAttribute("data-action") ?? element.className, box: element.getBoundingClientRect() }))
      .filter(({ box: { width, height } }) => width < 44 || height < 44).map(({ name }) => name));
    assert.deepEqual(small, [], "targets of 44 pixels");
    await at(0.85);
    await page.screenshot({ path: path.join(OUTPUT, "together-390.png") });
    assert.deepEqual(await axeViolations(page), []);
  });

  test("nothing is against the accessibility rules, in either theme", async () => {
    await openDemo();
    await at(0.85);
    await page.screenshot({ path: path.join(OUTPUT, "together-1366.png") });
    for (const theme of ["light", "dark"]) {
      await page.evaluate((name) => { document.documentElement.dataset.theme = name; }, theme);
      assert.deepEqual(await axeViolations(page), [], theme);
    }
    await page.screenshot({ path: path.join(OUTPUT, "together-1366-dark.png") });
  });
});

describe("the overlay", () => {
  const pixel = (/** @type {string} */ which, /** @type {number} */ x, /** @type {number} */ y) => page.evaluate(([name, left, top]) => {
    const { view } = window.togetherPage;
    const canvas = name === "over" ? view.over.canvas : view.pair.panes[Number(name)].canvas;
    const copy = new OffscreenCanvas(canvas.width, canvas.height);
    const pen = copy.getContext("2d", { willReadFrequently: true });
    pen.drawImage(canvas, 0, 0);
    return [...pen.getImageData(left, top, 1, 1).data.slice(0, 3)];
  }, [which, x, y]);

  test("mixes both pictures by its opacity", async () => {
    await openDemo();
    await page.click('[data-choice="face"][data-value="over"]');
    await at(0.85);
    for (const opacity of [0, 0.5, 1]) {
      await page.locator('[data-choice="opacity"]').fill(String(opacity * 100));
      await frames();
      for (const [x, y] of [[300, 250], [640, 360], [900, 300]]) {
        const [lower, upper, over] = [await pixel("0", x, y), await pixel("1", x, y), await pixel("over", x, y)];
        over.forEach((value, channel) => {
          const expected = lower[channel] * (1 - opacity) + upper[channel] * opacity;
          assert.ok(Math.abs(value - expected) <= 2, `${x}, ${y}: ${value} for ${expected} at ${opacity}`);
        });
      }
    }
    await page.locator('[data-choice="opacity"]').fill("50");
    await at(0.85);
    const shown = await page.evaluate(() => [window.togetherPage.view.over.canvas.dataset.frame, window.togetherPage.view.over.canvas.dataset.upperFrame].map(Number));
    assert.deepEqual(shown, truth.map((clip) => nearest(exactFrame(cyclesOf(clip, "left")[0], 0.85))));
    await page.screenshot({ path: path.join(OUTPUT, "together-over.png") });
    assert.deepEqual(await axeViolations(page), []);
  });

  test("two points on each picture fall on each other: by keyboard, mouse and touch; and reset", async () => {
    await openDemo();
    await page.click('[data-choice="face"][data-value="over"]');
    await page.click('[data-action="line-up"]');
    const points = page.locator(".together-point");
    assert.equal(await points.count(), 4);
    assert.deepEqual(await axeViolations(page), []);
    // Keyboard: the second clip's first point 20 to the right and 3 down.
    await points.nth(2).focus();
    await page.keyboard.press("Shift+ArrowRight");
    await page.keyboard.press("Shift+ArrowRight");
    for (let press = 0; press < 3; press += 1) await page.keyboard.press("ArrowDown");
    assert.match(await points.nth(2).getAttribute("aria-label"), /Point 1 on after: 340, 363/);
    // Mouse: the second clip's second point is drawn by 16 screen pixels.
    const handle = await points.nth(3).boundingBox();
    const [x, y] = [handle.x + handle.width / 2, handle.y + handle.height / 2];
    await page.mouse.move(x, y);
    await page.mouse.down();
    await page.mouse.move(x + 16, y, { steps: 4 });
    await page.mouse.up();
    // Touch: a tap on the first picture brings its nearer point.
    const stage = await page.locator(".together-stage canvas").first().boundingBox();
    await page.touchscreen.tap(stage.x + stage.width * 0.1, stage.y + stage.height * 0.5);
    await page.screenshot({ path: path.join(OUTPUT, "together-line-up.png") });
    await page.keyboard.press("Tab");
    const picked = await page.evaluate(() => window.togetherPage.view.choices.points);
    assert.ok(Math.abs(picked.first[0].x - 128) <= 2 && Math.abs(picked.first[0].y - 360) <= 2, JSON.stringify(picked));
    assert.deepEqual(picked.second[0], { x: 340, y: 363 });
    assert.ok(picked.second[1].x > 980);
    const laid = await page.evaluate(() => window.togetherPage.view.laid);
    for (const place of [0, 1]) {
      const { x: fromX, y: fromY } = picked.second[place];
      assert.ok(Math.abs(laid.along * fromX - laid.across * fromY + laid.right - picked.first[place].x) < 1e-9);
      assert.ok(Math.abs(laid.across * fromX + laid.along * fromY + laid.down - picked.first[place].y) < 1e-9);
    }
    await page.click('[data-action="line-up-done"]');
    // At full opacity the picture of the second clip lies where the points put it.
    await page.locator('[data-choice="opacity"]').fill("100");
    await frames();
    const [left, top] = [500, 300];
    const where = [Math.round(laid.along * left - laid.across * top + laid.right), Math.round(laid.across * left + laid.along * top + laid.down)];
    const [moved, own] = [await pixel("over", where[0], where[1]), await pixel("1", left, top)];
    moved.forEach((value, channel) => assert.ok(Math.abs(value - own[channel]) <= 12, `${moved} for ${own}`));
    assert.match(await text(".together-over"), /After is scaled × [\d.]+ and turned by/);
    await page.click('[data-action="reset"]');
    await frames();
    assert.equal(await page.evaluate(() => window.togetherPage.view.choices.points), null);
    assert.match(await text(".together-over"), /fitted into the other picture/);
  });

  test("points that nearly coincide are refused in words", async () => {
    await openDemo();
    await page.click('[data-choice="face"][data-value="over"]');
    await page.click('[data-action="line-up"]');
    await page.evaluate(() => {
      const points = document.querySelectorAll(".together-point");
      points[0].focus();
      for (let press = 0; press < 64; press += 1) points[0].dispatchEvent(new KeyboardEvent("keydown", { key: "ArrowRight", shiftKey: true, bubbles: true, cancelable: true }));
    });
    await page.waitForSelector(".together-over .together-caution");
    assert.match(await text(".together-over .together-caution"), /pixels apart; put them at least 16 apart.*Move one of the points/s);
  });

  test("is not offered for different views, and asks where a view is not stated", async () => {
    await page.evaluate(async () => {
      const { togetherPage } = window;
      await togetherPage.add(0);
      await togetherPage.add(1, { seen: "front" });
      togetherPage.mount();
      await togetherPage.settled();
    });
    await page.click('[data-choice="face"][data-value="over"]');
    await page.waitForSelector(".together-panes .together-nothing");
    assert.match(await text(".together-nothing"), /Before is filmed from the side, after from the front/);
    await page.evaluate(() => window.togetherPage.store.apply({ command: "edit_clip", clip: 2, change: { view: null } }));
    await page.selectOption('[data-view-of="2"]', "side");
    await page.waitForSelector('[data-choice="opacity"]');
  });
});
