// What every browser test shares: the site on a loopback address, a browser, a page that tells its troubles.
//
// Not for: knowledge of any one view. The site is the folder in WETFRAME_SITE (what `cargo xtask dist`
// wrote), else `www` as it stands, with the demo and the test clips beside it.

import { createServer } from "node:http";
import { readFile, stat, mkdtemp, rm } from "node:fs/promises";
import { existsSync } from "node:fs";
import { tmpdir } from "node:os";
import path from "node:path";
import { fileURLToPath } from "node:url";
import { chromium } from "playwright-core";

export const ROOT = path.resolve(path.dirname(fileURLToPath(import.meta.url)), "../..");
export const SITE = process.env.WETFRAME_SITE ?? path.join(ROOT, "www");
/** Where screenshots and other results go; not committed. */
export const OUTPUT = path.join(ROOT, "tests/browser/output");

const CHROMIUM = process.env.WETFRAME_CHROMIUM ?? "/usr/bin/chromium";
export const CHROMIUM_FLAGS = [
  "--no-sandbox", "--disable-gpu", "--disable-quic", "--no-first-run", "--disable-background-networking",
  "--disable-component-update", "--disable-sync",
];

const CONTENT_TYPES = {
  ".html": "text/html; charset=utf-8", ".js": "text/javascript; charset=utf-8",
  ".mjs": "text/javascript; charset=utf-8", ".css": "text/css; charset=utf-8",
  ".json": "application/json; charset=utf-8", ".svg": "image/svg+xml", ".png": "image/png",
  ".wasm": "application/wasm", ".woff2": "font/woff2", ".mp4": "video/mp4", ".mov": "video/quicktime",
  ".webm": "video/webm", ".mkv": "video/x-matroska",
};

/**
 * Serves the site, and under `/tests/` the tests' own pages and clips.
 *
 * @param {{under?: string}} [options] `under`: serve the site under this sub-path, as a shared host does.
 * @returns {Promise<{address: string, requests: {method: string, url: string}[], close: () => Promise<void>}>}
 */
export async function startSite({ under = "/" } = {}) {
  /** @type {{method: string, url: string}[]} */
  const requests = [];
  const server = createServer(async (request, response) => {
    const url = decodeURIComponent((request.url ?? "/").split(/[?#]/)[0]);
    requests.push({ method: request.method ?? "", url });
    const file = await fileOf(url, under);
    if (file === null) {
      response.writeHead(404, { "content-type": "text/plain" }).end("not found");
      return;
    }
    const type = CONTENT_TYPES[path.extname(file)] ?? "application/octet-stream";
    response.writeHead(200, { "content-type": type, "cache-control": "no-cache" }).end(await readFile(file));
  });
  await new Promise((resolve) => server.listen(0, "127.0.0.1", () => resolve(undefined)));
  const { port } = /** @type {import("node:net").AddressInfo} */ (server.address());
  return {
    address: `http://127.0.0.1:${port}${under}`,
    requests,
    close: () => new Promise((resolve) => { server.close(() => resolve()); server.closeAllConnections(); }),
  };
}

async function fileOf(url, under) {
  const normal = path.posix.normalize(url);
  const candidates = [];
  if (normal.startsWith("/tests/")) candidates.push(path.join(ROOT, normal));
  if (normal.startsWith(under)) {
    const inside = normal.slice(under.length);
    candidates.push(path.join(SITE, inside));
    if (inside.startsWith("demo/")) candidates.push(path.join(ROOT, inside));
  }
  for (let candidate of candidates) {
    if (!existsSync(candidate)) continue;
    if ((await stat(candidate)).isDirectory()) candidate = path.join(candidate, "index.html");
    if (existsSync(candidate)) return candidate;
  }
  return null;
}

/**
 * Chromium with a profile of its own; pass `profile` to come back to a kept one.
 *
 * @param {{profile?: string, viewport?: {width: number, height: number}} & Record<string, unknown>} [options]
 */
export async function launchChromium({ profile, viewport = { width: 1366, height: 768 }, ...options } = {}) {
  const folder = profile ?? await mkdtemp(path.join(tmpdir(), "wetframe-profile-"));
  const context = await chromium.launchPersistentContext(folder, {
    executablePath: CHROMIUM, headless: true, args: CHROMIUM_FLAGS, viewport, ...options,
  });
  const close = async () => {
    await context.close();
    if (profile === undefined) await rm(folder, { recursive: true, force: true });
  };
  return { context, profile: folder, close };
}

/**
 * A page whose uncaught errors and console errors are kept, so that a test can insist on none.
 *
 * @param {import("playwright-core").BrowserContext} context
 */
export async function newPage(context) {
  const page = await context.newPage();
  /** @type {string[]} */
  const troubles = [];
  page.on("pageerror", (error) => troubles.push(`${error.message}\n${error.stack ?? ""}`));
  page.on("console", (message) => {
    if (message.type() === "error") troubles.push(`${message.text()} (${message.location().url})`);
  });
  return { page, troubles };
}

/**
 * The violations that axe-core finds on the page as it stands, in words.
 *
 * @param {import("playwright-core").Page} page
 * @returns {Promise<string[]>}
 */
export async function axeViolations(page) {
  const source = await readFile(path.join(ROOT, "tests/browser/node_modules/axe-core/axe.min.js"), "utf8");
  // Through the driver, not a script element: the page's own policy allows no inline script.
  await page.evaluate(source);
  return await page.evaluate(async () => {
    // @ts-ignore axe is what the source above defines
    const found = await window.axe.run(document, { resultTypes: ["violations"] });
    return found.violations.map((violation) =>
      `${violation.id}: ${violation.help} — ${violation.nodes.map((node) => node.target.join(" ")).slice(0, 5).join("; ")}`);
  });
}
