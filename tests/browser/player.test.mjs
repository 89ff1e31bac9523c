// The player in Chromium: by decoder every frame is right; by the video element none is claimed wrongly.

import { execFileSync } from "node:child_process";
import assert from "node:assert/strict";
import { mkdtemp, rm, stat, truncate } from "node:fs/promises";
import { tmpdir } from "node:os";
import path from "node:path";
import { after, before, describe, test } from "node:test";
import { launchChromium, newPage, startSite } from "./harness.mjs";
import { assertAllRight, assertNoneClaimedWrongly, everyWay, numberOf, randomFrames, testClips } from "./player-proof.mjs";

const clips = await testClips();
const playable = clips.filter(({ opens, codec }) => opens && codec !== "hevc");
const named = (/** @type {string} */ file) => {
  const clip = clips.find((candidate) => candidate.file === file);
  assert.ok(clip, `${file} is in clips.json`);
  return clip;
};

let site;
let browser;
let page;
let troubles;

before(async () => {
  site = await startSite();
  browser = await launchChromium();
  ({ page, troubles } = await newPage(browser.context));
  await page.goto(`${site.address}tests/browser/pages/player.html`);
  await page.waitForFunction(() => "page" in window);
});

after(async () => {
  await browser?.close();
  await site?.close();
});

const open = (file, options) => page.evaluate(([name, how]) => window.page.open(name, how), [file, options]);
const walk = (frames) => page.evaluate((list) => window.page.walk(list), frames);

/** One frame's bytes at the test clips' size, to choose how many a ring holds. */
const FRAME_BYTES = 320 * 180 * 1.5;

describe("by decoder, every frame shows its own number", () => {
  for (const clip of playable) {
    test(`${clip.file}: ${clip.kind}`, async () => {
      const opened = await open(clip.file, { method: "decoder" });
      assert.equal(opened.trouble, undefined);
      assert.equal(opened.method, "decoder");
      assert.equal(opened.frame_count, clip.frames);
      assert.equal(opened.number, numberOf(clip, 0), "the first frame is shown at once");
      for (const [way, frames] of Object.entries(everyWay(clip.frames))) assertAllRight(clip, way, await walk(frames));
    });
  }
});

describe("by decoder, also when only few frames can be kept", () => {
  const some = ["constant_240.mp4", "b_frames.mp4", "trimmed_b_frames.mp4", "fragmented_b_frames.mp4", "bursts_b_frames.mp4", "variable.webm", "bursts_vp8.webm", "av1.mp4"];
  for (const clip of some.map(named)) {
    for (const frames of [1, 7]) {
      test(`${clip.file}, ${frames} kept`, async () => {
        await open(clip.file, { method: "decoder", ringBytes: frames * FRAME_BYTES });
        for (const [way, list] of Object.entries(everyWay(clip.frames))) assertAllRight(clip, way, await walk(list));
      });
    }
  }
});

describe("by decoder, also when frames are kept as canvases", () => {
  for (const clip of ["b_frames.mp4", "rotated_90.mp4", "anamorphic.mp4", "variable.webm"].map(named)) {
    test(clip.file, async () => {
      await open(clip.file, { method: "decoder", holdBy: "canvas" });
      for (const [way, list] of Object.entries(everyWay(clip.frames))) assertAllRight(clip, way, await walk(list));
    });
  }
});

describe("by the video element, no frame is shown as another", () => {
  for (const clip of playable) {
    test(`${clip.file}: ${clip.kind}`, async () => {
      const opened = await open(clip.file, { method: "element" });
      if (opened.trouble !== undefined) {
        // The element may refuse a damaged file as a whole; it may not show it wrongly.
        assert.equal(clip.file, "truncated.mp4");
        assert.equal(opened.trouble.kind, "clip_not_playable");
        return;
      }
      assert.equal(opened.method, "element");
      assert.deepEqual(opened.cautions, ["stepped_by_seeking"], "in this browser the callback proves the frame");
      const { forward, backward } = everyWay(clip.frames);
      const ways = { forward, backward: backward.slice(0, 30), random: randomFrames(30, clip.frames, 7) };
      let [reached, asked] = [0, 0];
      for (const [way, frames] of Object.entries(ways)) {
        reached += assertNoneClaimedWrongly(clip, way, await walk(frames));
        asked += frames.length;
      }
      assert.ok(reached >= 0.85 * asked, `${reached} of ${asked} reached`);
    });
  }
});

describe("a held key and play", () => {
  test("of many wishes at once the last one is shown, the others are shown or superseded", async () => {
    const clip = named("b_frames.mp4");
    await open(clip.file, { method: "decoder", ringBytes: 8 * FRAME_BYTES });
    const frames = Array.from({ length: 60 }, (_, step) => step);
    const { outcomes, number, current } = await page.evaluate((list) => window.page.rush(list), frames);
    assert.equal(number, numberOf(clip, 59));
    assert.deepEqual(current, { frame: 59, ticks: current.ticks, proof: "decoded", playing: false });
    assert.equal(outcomes.at(-1), "shown");
    assert.ok(outcomes.every((outcome) => outcome === "shown" || outcome === "superseded"));
  });

  test("steps add up even when they are asked for faster than they are shown", async () => {
    const clip = named("constant_60.mp4");
    await open(clip.file, { method: "decoder" });
    const current = await page.evaluate(() => window.page.with(async (player) => {
      await Promise.all([10, 10, -1, 10, 1].map((frames) => player.step(frames)));
      return player.current;
    }));
    assert.equal(current.frame, 30);
  });

  test("pictures made ready while the hand rests are the same pictures", async () => {
    for (const file of ["trimmed_b_frames.mp4", "rotated_90.mp4", "anamorphic.mp4"]) {
      const clip = named(file);
      await open(clip.file, { method: "decoder" });
      const seen = await page.evaluate((steps) => window.page.stepRested(steps), [1, 1, -1, -1, 1, 2, -2, 1, -1, -1]);
      assert.ok(seen.filter(({ wasReady }) => wasReady).length >= 8, `ready: ${seen.map(({ wasReady }) => wasReady)}`);
      for (const { frame, number, proof, mostDifferent } of seen) {
        assert.equal(number, numberOf(clip, frame));
        assert.equal(proof, "decoded");
        assert.ok(mostDifferent <= 2, `${file}, frame ${frame}: ${mostDifferent} of 255 off the picture from the ring`);
      }
    }
  });

  test("a ready picture is not covered by the late answer of an older wish", async () => {
    const clip = named("constant_240.mp4");
    await open(clip.file, { method: "decoder", ringBytes: 12 * FRAME_BYTES });
    await page.evaluate(() => window.page.stepRested([1]));
    const { outcomes, number } = await page.evaluate(() => window.page.rush([170, 2]));
    assert.deepEqual(outcomes, ["superseded", "shown"]);
    assert.equal(number, numberOf(clip, 2));
  });

  test("frames shown during play carry their own numbers, in order, and the frame at pause stands", async () => {
    const clip = named("constant_30.mp4");
    await open(clip.file, { method: "decoder" });
    const { seen, paused, number, current } = await page.evaluate(() => window.page.play(2, { from: 10, to: 50 }, Infinity));
    assert.ok(seen.length > 5);
    for (const { frame, number: shown, proof } of seen) {
      assert.equal(shown, numberOf(clip, frame));
      assert.equal(proof, "decoded");
    }
    assert.deepEqual(seen.map(({ frame }) => frame), seen.map(({ frame }) => frame).sort((a, b) => a - b));
    assert.equal(seen.at(-1).frame, 50, "it plays to the last frame of the stretch");
    assert.equal(paused.outcome, "shown");
    assert.equal(number, numberOf(clip, current.frame));
    assert.equal(current.playing, false);
  });

  test("a loop goes round and stays inside its stretch", async () => {
    const clip = named("constant_120.mp4");
    for (const ringBytes of [64 * FRAME_BYTES, 6 * FRAME_BYTES]) {
      await open(clip.file, { method: "decoder", ringBytes });
      const { seen } = await page.evaluate(() => window.page.play(2, { from: 20, to: 39, loop: true }, 60));
      assert.ok(seen.every(({ frame, number }) => frame >= 20 && frame <= 39 && number === numberOf(clip, frame)));
      const rounds = seen.filter(({ frame }, index) => index > 0 && frame < seen[index - 1].frame).length;
      assert.ok(rounds >= 1, `${rounds} rounds`);
    }
  });

  test("what the element plays is never proven until it is sought at pause", async () => {
    const clip = named("constant_30.mp4");
    await open(clip.file, { method: "element" });
    const { seen, paused, number, current } = await page.evaluate(() => window.page.play(0.5, { from: 0, to: 89 }, 8));
    assert.ok(seen.every(({ proof }, index) => proof === (index === 0 ? "sought" : "not_proven")));
    assert.equal(paused.outcome, "shown");
    assert.equal(current.proof, "sought");
    assert.equal(number, numberOf(clip, current.frame));
  });
});

describe("copied frames", () => {
  for (const method of ["decoder", "element"]) {
    test(`are found by the ${method}, and only they`, async () => {
      const repeating = clips.filter(({ duplicated_frames }) => duplicated_frames !== undefined);
      assert.ok(repeating.length > 0, "clips.json lists a clip with copied frames");
      for (const clip of repeating) {
        await open(clip.file, { method });
        const { frames, progress } = await page.evaluate(() => window.page.duplicates());
        assert.deepEqual(frames, clip.duplicated_frames);
        assert.deepEqual(progress.at(-1), [clip.frames, clip.frames]);
      }
    });
  }

  test("a clip without any has none", async () => {
    await open("b_frames.mp4", { method: "decoder" });
    assert.deepEqual((await page.evaluate(() => window.page.duplicates())).frames, []);
  });

  test("the search can be stopped on the way", async () => {
    await open("constant_240.mp4", { method: "decoder" });
    const { stopped, progress } = await page.evaluate(() => window.page.duplicates(20));
    assert.equal(stopped, "AbortError");
    assert.ok(progress.at(-1)[0] < 180, `it went on to ${progress.at(-1)}`);
  });
});

describe("what cannot be shown says why, with the clip's name", () => {
  test("a codec that this browser cannot decode is named in words", async () => {
    const { trouble } = await open("hevc.mp4", {});
    assert.equal(trouble.kind, "codec_not_supported");
    assert.match(trouble.message, /^hevc\.mp4 is HEVC \(H\.265\)/);
    assert.match(trouble.hint, /H\.264/);
  });

  for (const clip of clips.filter(({ opens }) => !opens)) {
    test(`${clip.file}: ${clip.kind}`, async () => {
      const { trouble } = await open(clip.file, {});
      assert.equal(trouble.kind, clip.error);
      assert.ok(trouble.message.includes(clip.file), trouble.message);
      assert.equal(trouble.severity, "error");
      assert.notEqual(trouble.hint, "");
    });
  }

  test("a clip that was changed since it was chosen: the frame is not shown, the message says so", async () => {
    const folder = await mkdtemp(path.join(tmpdir(), "wetframe-clip-"));
    try {
      const copy = path.join(folder, "moved.mp4");
      // Larger than what the reader keeps of a file at once.
      execFileSync("ffmpeg", ["-v", "error", "-f", "lavfi", "-i", "testsrc2=size=640x360:rate=30:duration=6", "-vf", "noise=alls=40:allf=t", "-c:v", "libx264", "-preset", "ultrafast", "-g", "30", "-pix_fmt", "yuv420p", copy]);
      assert.ok((await stat(copy)).size > 2 ** 22);
      await page.setInputFiles("#file", copy);
      const opened = await page.evaluate((bytes) => window.page.openChosen({ ringBytes: bytes }), 4 * FRAME_BYTES);
      assert.equal(opened.frame_count, 180);
      await truncate(copy, 100);
      const [seen] = await walk([150]);
      assert.equal(seen.outcome, "not_reached");
      assert.match(seen.trouble, /^moved\.mp4 cannot be read any more/);
      assert.equal(seen.current, 0);
    } finally {
      await rm(folder, { recursive: true });
    }
  });

  test("after close nothing is shown and nothing is left waiting", async () => {
    await open("constant_30.mp4", { method: "decoder" });
    const outcome = await page.evaluate(() => window.page.with(async (player) => {
      const waiting = player.show(80);
      player.close();
      return (await waiting).outcome;
    }));
    assert.equal(outcome, "superseded");
  });
});

test("the page met no error of its own", () => {
  assert.deepEqual(troubles, []);
});
