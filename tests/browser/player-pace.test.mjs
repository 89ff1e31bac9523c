// Which frame is due while a clip plays; pure, so it is tested without a browser.

import assert from "node:assert/strict";
import path from "node:path";
import { describe, test } from "node:test";
import { pathToFileURL } from "node:url";
import { ROOT } from "./harness.mjs";

const load = (/** @type {string} */ name) => import(pathToFileURL(path.join(ROOT, "www/player", name)).href);
const { FrameClock, SampleTable } = await load("clip-tables.js");
const { Pace } = await load("pace.js");

/** Frames of 20, 5, 60 and 15 ticks, 1000 ticks a second, the first at 40. */
const clock = new FrameClock({ timescale: 1000, frame_presentation: Float64Array.of(40, 60, 65, 125), end: 140 });
const paceOf = (given) => new Pace(clock, { rate: 1, start: 0, from: 0, to: 3, loop: false, now_ms: 500, ...given });

describe("the clock of frames", () => {
  test("a frame stands from its own time to the next one's", () => {
    for (const [ticks, frame] of [[0, 0], [40, 0], [59, 0], [60, 1], [64.9, 1], [65, 2], [124, 2], [125, 3], [9999, 3]]) {
      assert.equal(clock.frameAt(ticks), frame, `at ${ticks}`);
    }
    assert.equal(clock.endOf(3), 140);
  });

  test("the nearest start is the nearest, on both sides", () => {
    for (const [time_s, frame] of [[0.05, 0], [0.0501, 1], [0.0624, 1], [0.0626, 2], [0.09, 2], [0.1, 3]]) {
      assert.equal(clock.nearestFrame(time_s), frame, `at ${time_s} s`);
    }
  });
});

describe("the pace of play", () => {
  test("each frame is due for as long as it stands, at any rate", () => {
    for (const rate of [0.05, 0.5, 1, 2]) {
      const pace = paceOf({ rate });
      for (const [ticks, frame] of [[0, 0], [19, 0], [21, 1], [26, 2], [84, 2], [86, 3], [99, 3]]) {
        assert.equal(pace.due(500 + ticks / rate, frame), frame, `${ticks} ticks after the start at rate ${rate}`);
      }
    }
  });

  test("at the end the last frame is due, then nothing", () => {
    const pace = paceOf({});
    assert.equal(pace.due(601, 2), 3);
    assert.equal(pace.due(602, 3), null);
  });

  test("a stretch starts over in a loop, without losing time", () => {
    const pace = paceOf({ loop: true, from: 1, to: 2, start: 1 });
    for (const [ticks, frame] of [[0, 1], [4, 1], [6, 2], [64, 2], [66, 1], [71, 2], [131, 1]]) {
      assert.equal(pace.due(500 + ticks, 1), frame, `${ticks} ticks after the start`);
    }
  });

  test("a decoder that falls behind slows the clock instead of leaving out more and more", () => {
    const long = new FrameClock({ timescale: 1000, frame_presentation: Float64Array.from({ length: 100 }, (_, frame) => frame * 10), end: 1000 });
    const pace = new Pace(long, { rate: 1, start: 0, from: 0, to: 99, loop: false, now_ms: 0 });
    // Frame 0 still stands after 600 ms: a quarter of a second is left out, not the whole.
    assert.equal(pace.due(600, 0), 26);
    assert.equal(pace.due(610, 26), 27);
  });
});

describe("where decoding starts", () => {
  // Decode order I0 P3 B1 B2 | I6(open) B4 B5 P9 …: B4 and B5 are shown before the keyframe they are coded after.
  const tables = {
    sample_size: new Uint32Array(8).fill(1),
    sample_presentation: Float64Array.of(0, 30, 10, 20, 60, 40, 50, 90),
    sample_keyframe: Uint8Array.of(1, 0, 0, 0, 1, 0, 0, 0),
    sample_frame: Int32Array.of(0, 3, 1, 2, 6, 4, 5, 7),
    frame_sample: Uint32Array.of(0, 2, 3, 1, 5, 6, 4, 7),
  };
  const samples = new SampleTable(tables);

  test("at the keyframe before, but not at one that is shown later", () => {
    assert.deepEqual([0, 1, 2, 3, 4, 5, 6, 7].map((frame) => samples.startFor(frame)), [0, 0, 0, 0, 0, 0, 4, 4]);
  });

  test("a group further back when asked", () => {
    assert.equal(samples.startFor(7, 1), 0);
  });

  test("ranks follow the presentation", () => {
    assert.deepEqual([...samples.rankOfSample], [0, 3, 1, 2, 6, 4, 5, 7]);
    assert.deepEqual([...samples.sampleOfRank].map((sample) => samples.rankOfSample[sample]), [0, 1, 2, 3, 4, 5, 6, 7]);
  });
});
