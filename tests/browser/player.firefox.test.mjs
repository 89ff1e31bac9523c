// The player in Firefox, and between Firefox and Chromium: the same frames in both.

import assert from "node:assert/strict";
import { after, before, describe, test } from "node:test";
import { launchFirefox } from "./firefox.mjs";
import { launchChromium, newPage, startSite } from "./harness.mjs";
import { assertAllRight, assertNoneClaimedWrongly, everyWay, numberOf, randomFrames, testClips } from "./player-proof.mjs";

const clips = await testClips();
const playable = clips.filter(({ opens }) => opens);
const decodable = playable.filter(({ codec }) => codec !== "hevc");

let site;
let firefox;

before(async () => {
  site = await startSite();
  firefox = await launchFirefox();
  await firefox.open(`${site.address}tests/browser/pages/player.html`);
});

after(async () => {
  await firefox?.close();
  await site?.close();
});

describe("by decoder, every frame shows its own number", () => {
  for (const clip of decodable) {
    test(`${clip.file}: ${clip.kind}`, async () => {
      const opened = await firefox.call("open", clip.file, { method: "decoder" });
      assert.equal(opened.trouble, undefined);
      assert.equal(opened.method, "decoder");
      assert.equal(opened.frame_count, clip.frames);
      for (const [way, frames] of Object.entries(everyWay(clip.frames))) {
        assertAllRight(clip, way, await firefox.call("walk", frames));
      }
    });
  }

  test("also when only one frame can be kept", async () => {
    for (const file of ["trimmed_b_frames.mp4", "bursts_vp8.webm"]) {
      const clip = /** @type {import("./player-proof.mjs").TestClip} */ (clips.find((candidate) => candidate.file === file));
      await firefox.call("open", file, { method: "decoder", ringBytes: 320 * 180 * 1.5 });
      for (const [way, frames] of Object.entries(everyWay(clip.frames))) {
        assertAllRight(clip, way, await firefox.call("walk", frames));
      }
    }
  });
});

describe("by the video element, no frame is claimed that is not shown", () => {
  for (const clip of playable) {
    test(`${clip.file}: ${clip.kind}`, async () => {
      const opened = await firefox.call("open", clip.file, { method: "element" });
      if (opened.trouble !== undefined) {
        assert.equal(clip.file, "truncated.mp4");
        return;
      }
      const frames = [...everyWay(clip.frames).forward.slice(0, 15), ...randomFrames(15, clip.frames, 11)];
      const seen = await firefox.call("walk", frames);
      assertNoneClaimedWrongly(clip, "forward and at random", seen);
      const wrong = seen.filter(({ frame, outcome, number }) => outcome === "shown" && number !== numberOf(clip, frame));
      if (wrong.length > 0) assert.ok(opened.cautions.includes("frames_not_proven"), `${wrong.length} wrong and no word of it`);
      // All frames off by the same number is what a coach could not see: that has a caution of its own.
      const shifts = new Set(seen.filter(({ number }) => number !== null).map(({ frame, number }) => number - numberOf(clip, frame)));
      if (shifts.size === 1 && !shifts.has(0)) assert.ok(opened.cautions.includes("start_not_known"), `shifted by ${[...shifts]}`);
    });
  }
});

test("without a decoder for its codec a clip is opened by the element, and it says so", async () => {
  const opened = await firefox.call("open", "hevc.mp4");
  assert.equal(opened.method, "element");
  assert.deepEqual(opened.cautions, ["stepped_by_seeking", "frames_not_proven"]);
  assert.equal(opened.current.proof, "not_proven");
});

describe("a session marked in one browser means the same frames in the other", () => {
  let chromium;
  let page;
  before(async () => {
    chromium = await launchChromium();
    ({ page } = await newPage(chromium.context));
    await page.goto(`${site.address}tests/browser/pages/player.html`);
    await page.waitForFunction(() => "page" in window);
  });
  after(() => chromium?.close());

  const inChromium = (name, ...values) => page.evaluate(([called, list]) => window.page[called](...list), [name, values]);
  const inFirefox = (name, ...values) => firefox.call(name, ...values);

  for (const [from, marking, reading] of [["Chromium", inChromium, inFirefox], ["Firefox", inFirefox, inChromium]]) {
    for (const file of ["trimmed.mp4", "trimmed_b_frames.mp4", "delayed_start.mp4", "fragmented_b_frames.mp4", "bursts.webm"]) {
      test(`${file}, marked in ${from}`, async () => {
        await marking("open", file);
        const frames = [0, 1, 17, 29, 30, 31, 44, 59];
        const { session, numbers } = await marking("markFrames", frames);
        assert.equal(new Set(numbers).size, frames.length, "each mark is on a picture of its own");
        await reading("open", file);
        assert.deepEqual(await reading("readMarks", session), numbers);
      });
    }
  }
});
