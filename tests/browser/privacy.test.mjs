// Privacy: in a whole sitting the browser asks only for the static files beside the page. Nothing is sent, nothing
// comes from elsewhere, and the page's own policy would not allow it.

import assert from "node:assert/strict";
import path from "node:path";
import { after, before, test } from "node:test";
import { launchChromium, newPage, startSite } from "./harness.mjs";
import { CLIPS, chooseThrough, downloadThrough, saved, withoutPickers } from "./sitting.mjs";

/** @type {Awaited<ReturnType<typeof startSite>>} */
let site;
before(async () => { site = await startSite(); });
after(async () => { await site.close(); });

test("a whole sitting makes same-origin GETs of static files only", async () => {
  const { context, close } = await launchChromium({ acceptDownloads: true });
  try {
    await withoutPickers(context);
    /** @type {{method: string, url: string, body: string | null}[]} */
    const asked = [];
    context.on("request", (request) => asked.push({ method: request.method(), url: request.url(), body: request.postData() }));
    /** @type {string[]} */
    const sockets = [];
    const { page, troubles } = await newPage(context);
    page.on("websocket", (socket) => sockets.push(socket.url()));
    await page.goto(site.address);
    await page.getByRole("button", { name: "I have read this" }).click();
    await page.click('[data-action="demo"]');
    await page.locator('#main[data-view="marks"]').waitFor();
    await page.waitForFunction(() => document.querySelector(".marks-side")?.textContent?.includes("decoded"));
    for (const key of ["a", "ArrowRight", "s", "ArrowRight", "d", "ArrowRight", "f", "Shift+ArrowRight", "a"]) await page.keyboard.press(key);
    await saved(page);
    await page.click('.way[href^="#numbers"]');
    await page.locator('#main[data-view="numbers"]').waitFor();
    await page.click('.way[href^="#clips"]');
    await chooseThrough(page, '[data-action="choose"]', path.join(CLIPS, "variable.webm"));
    await page.locator(".clip", { hasText: "variable.webm" }).waitFor();
    await page.fill('input[name="athlete_label"]', "A name that must not leave");
    await page.press('input[name="athlete_label"]', "Enter");
    await saved(page);
    await page.click('.way[href^="#hand-over"]');
    await downloadThrough(page, '[data-action="save-session"]');
    await downloadThrough(page, '[data-action="save-marks"]');
    await page.click('.header a[href^="#guide"]');
    await page.locator(".guide").waitFor();
    await page.click('.header a[href^="#keys"]');
    await page.locator('#main[data-view="keys"]').waitFor();

    const origin = new URL(site.address).origin;
    const network = asked.filter(({ url }) => !url.startsWith("blob:"));
    assert.ok(network.length > 10, "the sitting was recorded");
    assert.deepEqual(network.filter(({ url, method, body }) => new URL(url).origin !== origin || method !== "GET" || body !== null), []);
    assert.deepEqual(network.filter(({ url }) => new URL(url).search !== ""), [], "no address carries data");
    assert.deepEqual(site.requests.filter(({ method }) => method !== "GET"), []);
    assert.deepEqual(sockets, []);
    assert.deepEqual(troubles, []);
  } finally {
    await close();
  }
});

test("the page's policy allows no outside request, no inline script, no form", async () => {
  const { context, close } = await launchChromium();
  try {
    const { page } = await newPage(context);
    await page.goto(site.address);
    await page.locator(".kept").waitFor();
    const refused = await page.evaluate(async () => {
      /** @type {string[]} */
      const directives = [];
      document.addEventListener("securitypolicyviolation", (event) => directives.push(event.effectiveDirective));
      await fetch("http://127.0.0.1:9/").then(() => directives.push("fetched"), () => undefined);
      const script = document.createElement("script");
      script.textContent = "window.inlineRan = true";
      document.head.append(script);
      const image = new Image();
      await new Promise((resolve) => { image.onerror = resolve; image.onload = resolve; image.src = "http://127.0.0.1:9/pixel.png"; });
      await new Promise((resolve) => { setTimeout(resolve); });
      return { directives, inlineRan: "inlineRan" in window };
    });
    assert.equal(refused.inlineRan, false);
    assert.deepEqual([...new Set(refused.directives)].sort(), ["connect-src", "img-src", "script-src-elem"]);
    const policy = await page.locator('meta[http-equiv="Content-Security-Policy"]').getAttribute("content");
    assert.match(policy ?? "", /default-src 'none'/);
    assert.doesNotMatch(policy ?? "", /unsafe-inline|unsafe-eval(?<!wasm-unsafe-eval)|https?:/);
  } finally {
    await close();
  }
});
