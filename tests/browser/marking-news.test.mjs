// What the page knows of a clip's marking after being told only the changes is what it would be told whole, whatever
// the coach does. Checked against the sitting itself, over a seeded run of commands, undos and redos.

import assert from "node:assert/strict";
import { after, before, test } from "node:test";
import { launchChromium, newPage, startSite } from "./harness.mjs";

let site;
let browser;
let page;

before(async () => {
  site = await startSite();
  browser = await launchChromium();
  ({ page } = await newPage(browser.context));
  await page.goto(site.address);
});

after(async () => {
  await browser.close();
  await site.close();
});

test("changes told one after the other add up to the whole marking view, and lists without a change stay the same", async () => {
  const found = await page.evaluate(async () => {
    const { default: load, Sitting } = await import("./wasm/page.js");
    const { renewed } = await import("./sitting/marking.js");
    await load();
    const sitting = Sitting.create("news", "2026-11-20");
    sitting.apply({
      command: "add_clip",
      clip: {
        name: "news.mp4", size_bytes: 1, fingerprint: "0", container: "mp4", codec: "avc1.64001F", width: 1280, height: 720,
        rotation_deg: 0, timescale: 600, frame_times: { first: 0, runs: [[2000, 10]] }, capture_rate_fps: null,
      },
    });
    let seed = 11;
    const random = (below) => {
      seed = (seed * 1103515245 + 12345) % 2147483648;
      return Math.floor((seed / 2147483648) * below);
    };
    const sides = { entry: ["left", "right"], catch: ["left", "right"], mid_pull: ["left", "right"], exit: ["left", "right"], mouth_clear: ["left", "right"], kick_out_start: ["both"], downbeat: ["left"] };
    const kinds = Object.keys(sides);
    const ids = [];
    // Keys in one order, so that two equal values have one text.
    const text = (value) => JSON.stringify(value, (_, inner) => (inner && typeof inner === "object" && !Array.isArray(inner)
      ? Object.fromEntries(Object.entries(inner).sort(([one], [other]) => (one < other ? -1 : 1))) : inner));
    const command = () => {
      const kind = kinds[random(kinds.length)];
      const side = sides[kind][random(sides[kind].length)];
      const mark = ids[random(ids.length)];
      switch (random(8)) {
        case 0: return sitting.session_view().clips[0].marks_count > 0 ? sitting.undo() : { new_marks: [] };
        case 1: return sitting.redo();
        case 2: return sitting.apply({ command: "move_mark", mark, time: random(2000) * 10, proof: "decoded" });
        case 3: return sitting.apply({ command: "delete_marks", marks: [mark] });
        case 4: return sitting.apply({ command: "edit_clip", clip: 1, change: { filmed_rate_fps: 60 + random(3) } });
        default: return sitting.apply({ command: "add_mark", clip: 1, kind, side, time: random(2000) * 10, proof: "decoded" });
      }
    };
    let known = null;
    let whole = 0;
    let refused = 0;
    const wrong = [];
    for (let turn = 0; turn < 400; turn += 1) {
      try {
        ids.push(...command().new_marks);
      } catch (trouble) {
        if (!trouble.kind) throw trouble; // a refusal: the mark is gone, or stands there already
        refused += 1;
      }
      const news = sitting.marking_news(1, known?.version ?? 0);
      whole += news.whole ? 1 : 0;
      const before = known;
      known = renewed(known, news);
      if (text(known.view) !== text(sitting.marking_view(1))) wrong.push(turn);
      if (before && news.changes.drive === null && before.view.analysis.drive !== known.view.analysis.drive) wrong.push(`drive ${turn}`);
    }
    const again = sitting.marking_news(1, known.version);
    const unknown = sitting.marking_news(1, known.version);
    return { wrong, whole, refused, marks: known.view.marks.length, flags: known.view.analysis.flags.length, again: again.whole === null, unknown: unknown.whole !== null };
  });
  assert.deepEqual(found.wrong, []);
  assert.equal(found.whole, 1, "told whole only once");
  assert.ok(found.marks > 50 && found.flags > 5 && found.refused < 300, JSON.stringify(found));
  assert.ok(found.again, "the version known is built on");
  assert.ok(found.unknown, "a version that is not the last one is told whole");
});
