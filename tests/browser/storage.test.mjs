// Nothing that was marked is lost: not when the browser dies, not when its storage is full or denied, not between two
// tabs; and everything goes when the coach says so.

import assert from "node:assert/strict";
import { mkdtemp, rm } from "node:fs/promises";
import { tmpdir } from "node:os";
import path from "node:path";
import { after, before, describe, test } from "node:test";
import { launchChromium, newPage, startSite } from "./harness.mjs";
import { startKillable } from "./killable-chromium.mjs";
import { CLIPS, addClip, chooseThrough, downloadThrough, keptRows, marksTold, notices, saved, withoutPickers } from "./sitting.mjs";

/** @type {Awaited<ReturnType<typeof startSite>>} */
let site;
before(async () => { site = await startSite(); });
after(async () => { await site.close(); });

/** Opens the marking view with its first frame shown. @param {import("playwright-core").Page} page */
async function toMarks(page) {
  await page.click('.way[href^="#marks"]');
  await page.locator(".marks canvas").first().waitFor();
  await page.waitForFunction(() => document.querySelector(".marks-side")?.textContent?.includes("decoded"));
}

/** Marks by keys like a coach: the left hand's entry, then a frame on. @param {import("playwright-core").Page} page @param {number} count */
async function mark(page, count) {
  const told = () => page.locator(".saved").getAttribute("title");
  for (let done = 0; done < count; done += 1) {
    const before = await told();
    await page.keyboard.press("a");
    await page.waitForFunction((was) => document.querySelector(".saved")?.getAttribute("title") !== was, before);
    await page.keyboard.press("ArrowRight");
    await page.keyboard.press("ArrowRight");
  }
}

describe("a browser that is killed", () => {
  test("keeps every mark that the page called saved, and undo still works", async () => {
    const profile = await mkdtemp(path.join(tmpdir(), "wetframe-killed-"));
    let browser = await startKillable(profile);
    try {
      await withoutPickers(browser.context);
      let { page } = await newPage(browser.context);
      await page.goto(site.address);
      await addClip(page, "constant_60.mp4");
      await toMarks(page);
      await mark(page, 5);
      await saved(page);
      const address = page.url();
      await browser.kill();

      browser = await startKillable(profile);
      ({ page } = await newPage(browser.context));
      await page.goto(address);
      await saved(page);
      assert.equal(await marksTold(page), 5);
      const undo = page.locator('[data-action="undo"]');
      assert.match(await undo.getAttribute("title") ?? "", /entry/i);
      await undo.click();
      await saved(page);
      assert.equal(await marksTold(page), 4);

      // Undo is on the disk as well: killed again, it stays undone and can be redone.
      await browser.kill();
      browser = await startKillable(profile);
      ({ page } = await newPage(browser.context));
      await page.goto(address);
      await saved(page);
      assert.equal(await marksTold(page), 4);
      await page.click('[data-action="redo"]');
      await saved(page);
      assert.equal(await marksTold(page), 5);
    } finally {
      await browser.kill();
      await rm(profile, { recursive: true, force: true });
    }
  });

  test("in the middle of marking loses none that was confirmed", async () => {
    const profile = await mkdtemp(path.join(tmpdir(), "wetframe-killed-"));
    let browser = await startKillable(profile);
    try {
      await withoutPickers(browser.context);
      let { page } = await newPage(browser.context);
      await page.goto(site.address);
      await addClip(page, "constant_60.mp4");
      await toMarks(page);
      const address = page.url();
      // Confirmed changes are told out of the page as they are confirmed; the kill comes while more are under way.
      let confirmed = 0;
      await page.exposeFunction("confirm", (/** @type {string} */ title) => { confirmed = Number(title.split(" ")[0]); });
      await page.evaluate(() => {
        const tell = () => {
          const told = document.querySelector(".saved");
          // @ts-ignore exposed by the test
          if (told instanceof HTMLElement && told.dataset.saved === "saved") window.confirm(told.title);
        };
        new MutationObserver(tell).observe(/** @type {Element} */ (document.querySelector(".header")), { subtree: true, attributes: true });
      });
      const typing = (async () => {
        for (let done = 0; done < 200; done += 1) {
          await page.keyboard.press("a");
          await page.keyboard.press("ArrowRight");
        }
      })().catch(() => undefined); // the browser dies under it: that is the test
      while (confirmed < 12) await Promise.race([page.waitForFunction(() => true), typing]);
      const promised = confirmed;
      await browser.kill();
      await typing;

      browser = await startKillable(profile);
      ({ page } = await newPage(browser.context));
      await page.goto(address);
      await saved(page);
      const changes = Number((await page.locator(".saved").getAttribute("title"))?.split(" ")[0]);
      assert.ok(changes >= promised, `${promised} changes were confirmed, ${changes} came back`);
      assert.equal(await marksTold(page), changes - 1, "one change added the clip, every other a mark");
    } finally {
      await browser.kill();
      await rm(profile, { recursive: true, force: true });
    }
  });
});

describe("two tabs on one session", () => {
  for (const browser of ["with Web Locks", "without Web Locks"]) test(`the second reads only, says why, follows, and takes over: a browser ${browser}`, async () => {
    const { context, close } = await launchChromium();
    try {
      await withoutPickers(context);
      if (browser === "without Web Locks") await context.addInitScript(() => { Object.defineProperty(navigator, "locks", { value: undefined }); });
      const { page: first } = await newPage(context);
      await first.goto(site.address);
      await addClip(first, "constant_60.mp4");

      const { page: second } = await newPage(context);
      await second.goto(first.url());
      await second.locator('.saved[data-saved="read_only"]').waitFor();
      assert.match((await notices(second)).join(), /open for marking in another tab/);
      assert.ok(await second.locator('input[name="athlete_label"]').isDisabled());
      assert.ok(await second.locator('[data-action="undo"]').isDisabled());

      await first.fill('input[name="athlete_label"]', "Lane 4");
      await first.press('input[name="athlete_label"]', "Enter");
      await saved(first);
      await second.locator("h1", { hasText: "Lane 4" }).waitFor();

      await first.close();
      await saved(second);
      assert.deepEqual(await notices(second), []);
      await second.fill('input[name="athlete_label"]', "Lane 5");
      await second.press('input[name="athlete_label"]', "Enter");
      await saved(second);
      await second.reload();
      await second.locator("h1", { hasText: "Lane 5" }).waitFor();
    } finally {
      await close();
    }
  });

  test("without Web Locks: a tab that died is missed, and of two that ask at once one gets the session", async () => {
    const { context, close } = await launchChromium();
    try {
      const { page } = await newPage(context);
      await page.goto(site.address);
      const found = await page.evaluate(async () => {
        const { holdByWord, isHeldByWord } = await import("/sitting/lock-by-word.js");
        const both = await Promise.all([holdByWord("a"), holdByWord("a")]);
        const holders = both.filter((hold) => hold.mine).length;
        const held = await isHeldByWord("a");
        const free = await isHeldByWord("b");
        const [holder, waiting] = both[0].mine ? both : [both[1], both[0]];
        holder.release();
        await waiting.freed;
        const heldAgain = await isHeldByWord("a");
        waiting.release();
        return { holders, held, free, heldAgain, heldAtLast: await isHeldByWord("a") };
      });
      assert.deepEqual(found, { holders: 1, held: true, free: false, heldAgain: true, heldAtLast: false });
      const { page: other } = await newPage(context);
      await other.goto(site.address);
      await other.evaluate(async () => {
        // It will not say goodbye.
        addEventListener("pagehide", (event) => event.stopImmediatePropagation(), { capture: true });
        await (await import("/sitting/lock-by-word.js")).holdByWord("c");
      });
      const waits = page.evaluate(async () => {
        const { holdByWord } = await import("/sitting/lock-by-word.js");
        const hold = await holdByWord("c");
        document.body.dataset.mine = String(hold.mine);
        await hold.freed;
        return "taken over";
      });
      await page.waitForFunction(() => document.body.dataset.mine === "false");
      await other.goto("about:blank");
      assert.equal(await waits, "taken over");
    } finally {
      await close();
    }
  });
});

describe("the marking view of a session that another tab marks", () => {
  test("reads along and steps, says why it changes nothing, and marks once it has taken over", async () => {
    const { context, close } = await launchChromium();
    try {
      await withoutPickers(context);
      const { page: first } = await newPage(context);
      await first.goto(site.address);
      await addClip(first, "constant_60.mp4");
      await toMarks(first);
      await mark(first, 1);
      await saved(first);

      const { page: second, troubles } = await newPage(context);
      await second.goto(first.url().replace("#marks", "#clips"));
      await second.locator('.saved[data-saved="read_only"]').waitFor();
      await chooseThrough(second, '[data-action="choose-again"]', path.join(CLIPS, "constant_60.mp4"));
      await second.locator(".needs-file").waitFor({ state: "detached" });
      await toMarks(second);
      const shown = () => second.locator(".marks-frame-number").textContent();
      const status = second.locator("#status");
      await second.keyboard.press("ArrowRight");
      await second.waitForFunction(() => document.querySelector(".marks-frame-number")?.textContent === "1");
      for (const key of ["s", "Enter", "Delete", "Control+z", "t"]) {
        await status.evaluate((line) => { line.textContent = ""; });
        await second.keyboard.press(key);
        await second.waitForFunction(() => /another tab|read/i.test(document.getElementById("status")?.textContent ?? ""), undefined, { timeout: 3000 })
          .catch(() => assert.fail(`${key} is not refused in words`));
      }
      assert.equal(await second.locator(".marks-event:not([disabled])").count(), 0, "no pad can be pressed");
      assert.equal(await shown(), "1");
      assert.equal(await marksTold(second), 1);

      // What the other tab marks appears here.
      await mark(first, 1);
      await saved(first);
      await second.waitForFunction(() => document.querySelector(".clip-name p")?.textContent?.includes("from 2 marks"));

      await toMarks(second);
      await first.close();
      await saved(second);
      await mark(second, 1);
      await saved(second);
      assert.equal(await marksTold(second), 3);
      assert.deepEqual(troubles, []);
    } finally {
      await close();
    }
  });
});

/**
 * Changes what this device keeps as the base of a session; answers all that is kept of it.
 * @param {import("playwright-core").Page} page
 * @param {"bare"|"newer"|"as it is"} how
 * @returns {Promise<{base: string, lines: number, listed: number}>}
 */
async function keptBase(page, how) {
  const [base] = await keptRows(page, "bases");
  const file = how === "as it is" ? null : JSON.parse(base.base_json);
  if (how === "bare") base.base_json = JSON.stringify(file.session);
  if (how === "newer") base.base_json = JSON.stringify({ ...file, version: 99 });
  await keptRows(page, "bases", [base]);
  const [lines, listed] = [await keptRows(page, "journal"), await keptRows(page, "sessions")];
  return { base: base.base_json, lines: lines.length, listed: listed.length };
}

/** What is kept of sessions as they were left. @param {import("playwright-core").Page} page @returns {Promise<{id: string, base_json: string}[]>} */
const asLeft = (page) => keptRows(page, "as_left");

/** Puts the tab away, or takes it up again, as its page sees it. @param {import("playwright-core").Page} page @param {"hidden"|"visible"} state */
async function turn(page, state) {
  await page.evaluate((wanted) => {
    Object.defineProperty(document, "visibilityState", { value: wanted, configurable: true });
    document.dispatchEvent(new Event("visibilitychange"));
  }, state);
}

describe("a session that was left", () => {
  test("is kept as it stood, until the next mark", async () => {
    const { context, close } = await launchChromium();
    try {
      await withoutPickers(context);
      const { page, troubles } = await newPage(context);
      // A device that has kept sessions since before there were such copies.
      const past = await context.newPage();
      await past.goto(new URL("icon.svg", site.address).href);
      await past.evaluate(() => new Promise((resolve, reject) => {
        const opened = indexedDB.open("wetframe", 1);
        opened.onerror = () => reject(opened.error);
        opened.onupgradeneeded = () => {
          for (const [name, keyPath] of [["sessions", "id"], ["bases", "id"], ["journal", ["id", "sequence"]], ["handles", ["id", "clip"]]]) {
            opened.result.createObjectStore(/** @type {string} */ (name), { keyPath });
          }
        };
        opened.onsuccess = () => { opened.result.close(); resolve(null); };
      }));
      await past.close();
      await page.goto(site.address);
      await addClip(page, "constant_60.mp4");
      await toMarks(page);
      await mark(page, 3);
      await saved(page);
      assert.deepEqual(await asLeft(page), [], "nothing was left yet");

      await turn(page, "hidden");
      await page.waitForFunction(() => new Promise((resolve) => {
        indexedDB.open("wetframe").onsuccess = ({ target }) => {
          const database = /** @type {IDBOpenDBRequest} */ (target).result;
          database.transaction("as_left").objectStore("as_left").count().onsuccess = (event) => {
            database.close();
            resolve(/** @type {IDBRequest} */ (event.target).result === 1);
          };
        };
      }));
      const [left] = await asLeft(page);
      assert.equal(JSON.parse(left.base_json).session.clips[0].marks.length, 3);

      await turn(page, "visible");
      await mark(page, 1);
      await saved(page);
      assert.deepEqual(await asLeft(page), [], "what is no longer true is not kept");

      await page.click('.way[href^="#clips"]');
      await page.reload();
      await saved(page);
      assert.equal(await marksTold(page), 4);
      assert.deepEqual(troubles, []);
    } finally {
      await close();
    }
  });
});

describe("a session that another version of the page kept", () => {
  test("older: the bare document of the first pages opens with all its marks", async () => {
    const { context, close } = await launchChromium();
    try {
      await withoutPickers(context);
      const { page, troubles } = await newPage(context);
      await page.goto(site.address);
      await addClip(page, "constant_60.mp4");
      await toMarks(page);
      await mark(page, 3);
      await saved(page);
      const { base } = await keptBase(page, "bare");
      assert.equal(JSON.parse(base).format, undefined);
      await page.reload();
      await saved(page);
      assert.equal(await marksTold(page), 3);
      await page.click('[data-action="undo"]');
      await saved(page);
      assert.equal(await marksTold(page), 2);
      assert.deepEqual(troubles, []);
    } finally {
      await close();
    }
  });

  test("newer: is refused in the words of a file, and everything kept of it stays as it is", async () => {
    const { context, close } = await launchChromium();
    try {
      await withoutPickers(context);
      const { page } = await newPage(context);
      await page.goto(site.address);
      await addClip(page, "constant_60.mp4");
      await toMarks(page);
      await mark(page, 2);
      await saved(page);
      const kept = await keptBase(page, "newer");
      await page.reload();
      await page.locator(".notice").first().waitFor();
      assert.match((await notices(page)).join(), /has version 99 of the session format/);
      assert.deepEqual(await keptBase(page, "as it is"), kept);
    } finally {
      await close();
    }
  });
});

/**
 * Changes the last journal line that this device keeps, as another version of the page would have written it.
 * @param {import("playwright-core").Page} page
 * @param {object} fields
 * @returns {Promise<string[]>} every line kept, changed
 */
async function keptLines(page, fields) {
  const entries = await keptRows(page, "journal");
  const last = entries.at(-1);
  last.line = JSON.stringify({ ...JSON.parse(last.line), ...fields });
  const changed = await keptRows(page, "journal", [last]);
  return changed.map(({ line }) => line);
}

describe("a journal with a command that this page does not know", () => {
  for (const { whose, version, told } of [
    { whose: "a newer page's", version: 99, told: /its journal has version 99/ },
    { whose: "damaged, of this page's version", version: 1, told: /last line of the journal/ },
  ]) {
    test(`${whose}: ${version > 1 ? "is refused, and nothing is cut" : "is cut off"}`, async () => {
      const { context, close } = await launchChromium();
      try {
        await withoutPickers(context);
        const { page } = await newPage(context);
        await page.goto(site.address);
        await addClip(page, "constant_60.mp4");
        await toMarks(page);
        await mark(page, 3);
        await saved(page);
        const lines = await keptLines(page, { version, command: { command: "add_something_new" } });
        await page.reload();
        await page.locator(".notice").first().waitFor();
        assert.match((await notices(page)).join(), told);
        if (version > 1) {
          // A new name would be a line more.
          await page.goto(site.address);
          await page.click('.kept-row [data-action="rename"]');
          await page.keyboard.type("Lane 7");
          await page.keyboard.press("Enter");
          await page.locator(".notice-message", { hasText: "its journal has version 99" }).waitFor();
          assert.deepEqual(await keptLines(page, {}), lines);
        } else {
          await saved(page);
          assert.equal(await marksTold(page), 2);
          assert.deepEqual(await keptLines(page, {}), lines.slice(0, -1));
        }
      } finally {
        await close();
      }
    });
  }
});

describe("storage that fails", () => {
  test("denied: the page says so, works, and saves to a file", async () => {
    const { context, close } = await launchChromium();
    try {
      await withoutPickers(context);
      await context.addInitScript(() => {
        IDBFactory.prototype.open = () => { throw new DOMException("The user denied permission to access the database.", "SecurityError"); };
      });
      const { page } = await newPage(context);
      await page.goto(site.address);
      await page.locator(".lead").waitFor();
      assert.match((await notices(page)).join(), /keep nothing on this device/);
      await chooseThrough(page, '[data-action="choose"]', path.join(CLIPS, "constant_60.mp4"));
      await page.locator('.saved[data-saved="memory_only"]').waitFor();
      const { name, bytes } = await downloadThrough(page, '.notice button.primary');
      assert.match(name, /session\.wetframe$/);
      assert.equal(JSON.parse(bytes.toString("utf8")).format, "wetframe");
    } finally {
      await close();
    }
  });

  test("full: nothing in memory is lost, and it is written once there is room", async () => {
    const { context, close } = await launchChromium();
    try {
      await withoutPickers(context);
      const { page } = await newPage(context);
      const storage = await context.newCDPSession(page);
      const origin = new URL(site.address).origin;
      // Before the page opens its storage: the browser remembers for a while how much room there was.
      await storage.send("Storage.overrideQuotaForOrigin", { origin, quotaSize: 100_000 });
      await page.goto(site.address);
      await addClip(page, "constant_60.mp4");
      const notes = page.locator('textarea[name="session_notes"]');
      const state = page.locator(".saved");
      for (let written = 1; (await state.getAttribute("data-saved")) === "saved"; written += 1) {
        assert.ok(written < 20, "the storage never filled");
        await notes.fill(`${written}: ${"Long rest between the passes. ".repeat(600)}`);
        await notes.press("Tab");
        await page.locator('.saved:not([data-saved="saving"])').waitFor();
      }
      await page.locator('.saved[data-saved="memory_only"]').waitFor();
      assert.match((await notices(page)).join(), /storage for web pages is full/);
      await page.fill('input[name="athlete_label"]', "Lane 4");
      await page.press('input[name="athlete_label"]', "Enter");
      await page.locator("h1", { hasText: "Lane 4" }).waitFor();

      const { bytes } = await downloadThrough(page, '.notice button.primary');
      assert.match(bytes.toString("utf8"), /Long rest between the passes/);

      await storage.send("Storage.overrideQuotaForOrigin", { origin });
      await page.getByRole("button", { name: "Try again" }).click();
      await saved(page);
      assert.deepEqual(await notices(page), []);
      await page.reload();
      await page.locator("h1", { hasText: "Lane 4" }).waitFor();
      assert.match(await page.locator('textarea[name="session_notes"]').inputValue(), /Long rest/);
    } finally {
      await close();
    }
  });
});

describe("delete everything", () => {
  test("clears sessions, settings and caches, after a question that is not a dialog", async () => {
    const { context, close } = await launchChromium();
    try {
      await withoutPickers(context);
      const { page, troubles } = await newPage(context);
      page.on("dialog", (dialog) => assert.fail(`a dialog asked: ${dialog.message()}`));
      await page.goto(site.address);
      await page.getByRole("button", { name: "I have read this" }).click();
      await addClip(page, "constant_60.mp4");
      await page.click('[data-action="theme"]');
      await page.evaluate(async () => { await (await caches.open("left over")).put("left", new Response("over")); });
      await page.click('[data-action="delete-all"]');
      await page.getByRole("button", { name: "Keep", exact: true }).click();
      assert.equal(await page.locator(".kept-row").count(), 1);
      await page.click('[data-action="delete-all"]');
      await page.click('[data-action="delete-all-yes"]');
      await page.getByText("Nothing yet.", { exact: false }).waitFor();
      await page.locator(".lead").waitFor();
      const left = await page.evaluate(async () => {
        const databases = await indexedDB.databases();
        let records = 0;
        for (const { name } of databases) {
          const database = await new Promise((resolve, reject) => {
            const request = indexedDB.open(/** @type {string} */ (name));
            request.onsuccess = () => resolve(request.result);
            request.onerror = () => reject(request.error);
          });
          for (const store of database.objectStoreNames) {
            records += await new Promise((resolve) => {
              const request = database.transaction(store).objectStore(store).count();
              request.onsuccess = () => resolve(request.result);
            });
          }
          database.close();
        }
        return { records, settings: localStorage.length, caches: (await caches.keys()).length };
      });
      assert.deepEqual(left, { records: 0, settings: 0, caches: 0 });
      await page.reload();
      await page.locator(".lead").waitFor();
      assert.equal(await page.locator(".kept-row").count(), 0);
      assert.deepEqual(troubles, []);
    } finally {
      await close();
    }
  });

  test("from another tab: the tab that was marking says so and keeps its marks until they are in a file", async () => {
    const { context, close } = await launchChromium({ acceptDownloads: true });
    try {
      await withoutPickers(context);
      const { page: marking, troubles } = await newPage(context);
      await marking.goto(site.address);
      await addClip(marking, "constant_60.mp4");
      await toMarks(marking);
      await mark(marking, 2);
      await saved(marking);

      const { page: deleting } = await newPage(context);
      await deleting.goto(site.address);
      await deleting.locator(".kept-row").waitFor();
      await deleting.click('[data-action="delete-all"]');
      await deleting.click('[data-action="delete-all-yes"]');
      await deleting.getByText("Nothing yet.", { exact: false }).waitFor();
      assert.equal(await deleting.evaluate(sessionsKept), 0);

      await marking.locator('.saved[data-saved="memory_only"]').waitFor();
      assert.match((await notices(marking)).join(), /was deleted from another tab/);
      assert.equal(await marking.getByRole("button", { name: "Try again" }).count(), 0, "there is nothing to write to");
      await marking.keyboard.press("s");
      const { bytes } = await downloadThrough(marking, ".notice button.primary");
      assert.equal(JSON.parse(bytes.toString("utf8")).session.clips[0].marks.length, 3);
      assert.deepEqual(troubles, []);

      // The other way round, and with a storage that was opened anew after the first deletion.
      await addClip(deleting, "constant_30.mp4");
      await marking.reload();
      await marking.locator(".kept-row").waitFor();
      await marking.click('[data-action="delete-all"]');
      await marking.click('[data-action="delete-all-yes"]');
      await deleting.locator('.saved[data-saved="memory_only"]').waitFor();
      assert.match((await notices(deleting)).join(), /was deleted from another tab/);
      assert.equal(await marking.evaluate(sessionsKept), 0);
    } finally {
      await close();
    }
  });

  test("under a tab that only reads: it says so and is left alone", async () => {
    const { context, close } = await launchChromium();
    try {
      await withoutPickers(context);
      const { page: marking } = await newPage(context);
      await marking.goto(site.address);
      await addClip(marking, "constant_60.mp4");
      const { page: reading, troubles } = await newPage(context);
      await reading.goto(marking.url());
      await reading.locator('.saved[data-saved="read_only"]').waitFor();
      await marking.click('[data-action="delete-all"]');
      await marking.click('[data-action="delete-all-yes"]');
      await marking.locator(".lead").waitFor();
      await reading.locator('.saved[data-saved="memory_only"]').waitFor();
      assert.match((await notices(reading)).join(), /was deleted from another tab/);
      assert.equal((await notices(reading)).length, 1, "it is said once");
      assert.equal(await marking.evaluate(sessionsKept), 0, "the reading tab writes nothing back");
      assert.deepEqual(troubles, []);
    } finally {
      await close();
    }
  });
});

/** Runs in the page: how many sessions the database holds. @returns {Promise<number>} */
function sessionsKept() {
  return new Promise((resolve, reject) => {
    const opened = indexedDB.open("wetframe");
    opened.onerror = () => reject(opened.error);
    opened.onsuccess = () => {
      const database = opened.result;
      database.onversionchange = () => database.close();
      if (!database.objectStoreNames.contains("sessions")) return resolve(0);
      const counted = database.transaction("sessions").objectStore("sessions").count();
      counted.onsuccess = () => { database.close(); resolve(counted.result); };
    };
  });
}
