// Two clips seen together in a second browser: the frames on the screen are those of the known truth there too.

import assert from "node:assert/strict";
import { after, before, test } from "node:test";
import { launchFirefox } from "./firefox.mjs";
import { startSite } from "./harness.mjs";
import { cyclesOf, demoClips, exactFrame, nearest } from "./together-truth.mjs";

let site;
let firefox;

before(async () => {
  site = await startSite();
  firefox = await launchFirefox();
  await firefox.open(`${site.address}tests/browser/pages/together.html`);
});

after(async () => {
  await firefox?.close();
  await site?.close();
});

test("for each of 10 phases both clips show the frame nearest to it, and the picture is that frame's", async () => {
  const truth = await demoClips();
  const cycles = truth.map((clip) => cyclesOf(clip, "left")[0]);
  await firefox.call("openDemo");
  for (let step = 0; step < 10; step += 1) {
    const u = (4 * step) / 10 + 0.03;
    const { frames, pixels } = await firefox.call("at", u);
    for (const index of [0, 1]) {
      const expected = nearest(exactFrame(cycles[index], u));
      assert.deepEqual(frames[index], { frame: expected, proof: "decoded" }, `u ${u}, clip ${index}`);
      assert.equal(pixels[index], await firefox.call("reference", index, expected), `u ${u}, clip ${index}`);
    }
  }
});
