// Chromium started by hand, so that a test can kill its whole process group as a dead battery would.

import { spawn } from "node:child_process";
import { readFile, rm } from "node:fs/promises";
import path from "node:path";
import { setTimeout as after } from "node:timers/promises";
import { chromium } from "playwright-core";
import { CHROMIUM_FLAGS } from "./harness.mjs";

/**
 * @param {string} profile  folder of the profile, kept between starts
 */
export async function startKillable(profile) {
  // What a killed browser leaves behind and the next start would read as its own.
  await rm(path.join(profile, "DevToolsActivePort"), { force: true });
  const child = spawn(
    process.env.WETFRAME_CHROMIUM ?? "/usr/bin/chromium",
    [...CHROMIUM_FLAGS, "--headless=new", "--remote-debugging-port=0", `--user-data-dir=${profile}`, "about:blank"],
    { detached: true, stdio: "ignore" },
  );
  let isAlive = true;
  const ended = new Promise((resolve) => child.once("exit", () => { isAlive = false; resolve(undefined); }));
  const endpoint = `http://127.0.0.1:${await portOf(profile)}`;
  const browser = await chromium.connectOverCDP(endpoint);
  return {
    context: browser.contexts()[0],
    /** Kills every process of this browser at once, without a word to any of them. */
    async kill() {
      if (isAlive) process.kill(-(/** @type {number} */ (child.pid)), "SIGKILL");
      await ended;
    },
  };
}

/** Chromium writes its port into the profile once it listens. @param {string} profile */
async function portOf(profile) {
  const deadline = Date.now() + 20_000;
  while (Date.now() < deadline) {
    const text = await readFile(path.join(profile, "DevToolsActivePort"), "utf8").catch(() => "");
    const [port] = text.split("\n");
    if (port) return port;
    await after(50); // no event tells of a file in a folder that may not exist yet
  }
  throw new Error("Chromium did not start");
}
