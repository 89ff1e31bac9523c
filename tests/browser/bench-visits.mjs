// How long the visits take to open: five years, 500 sessions of two clips with ten cycles each, kept on this device, from
// the click on the face to the drawn chart. With the marks in the journals (marked on this device), and with whole
// sessions (opened from files). Reports; asserts nothing about time, but that the chart shows all of them.

import { availableParallelism, loadavg } from "node:os";
import { launchChromium, newPage, startSite } from "./harness.mjs";
import { makeSessions, yearsOfSessions } from "./synthetic-visits.mjs";
import { quantile } from "./quantile.mjs";

const COUNT = 500;
const TURNS = 5;
const wish = { count: COUNT, years: 5, cycles: 10, label: "Visitor", last: "2026-11-20" };


console.log(`${availableParallelism()} processors; ${loadavg()[0].toFixed(1)} tasks wanted one over the last minute`);
const site = await startSite();
try {
  for (const [how, made] of /** @type {const} */ ([
    ["journals of single marks, left since", { whole: false, left: true }],
    ["journals of single marks, never left (the browser was killed each time)", { whole: false }],
    ["whole sessions", { whole: true }],
  ])) {
    const { context, close } = await launchChromium();
    try {
      const { page, troubles } = await newPage(context);
      await page.goto(site.address);
      await page.waitForSelector('[data-action="demo"]');
      const all = yearsOfSessions(wish);
      for (let from = 0; from < COUNT; from += 50) {
        await page.evaluate(makeSessions, { sessions: all.slice(from, from + 50), keep: true, ...made });
      }
      const times = [];
      for (let turn = 0; turn < TURNS; turn += 1) {
        await page.goto(`${site.address}#numbers?session=visit-0499`);
        await page.reload();
        await page.waitForSelector(".numbers-board");
        const { drawn, complete } = await page.evaluate(openFace, COUNT);
        times.push({ drawn, complete });
      }
      const of = (/** @type {"drawn"|"complete"} */ what) => times.map((time) => time[what]);
      console.log(`${COUNT} kept sessions, 1,000 clips, 5 years, ${how}: chart of all drawn after median ${quantile(of("drawn"), 0.5).toFixed(0)} ms, slowest ${quantile(of("drawn"), 1).toFixed(0)} ms; with table and list ${quantile(of("complete"), 0.5).toFixed(0)} ms, n ${TURNS}`);
      const memory = await page.evaluate(() => /** @type {any} */ (performance).memory?.usedJSHeapSize ?? null);
      if (memory) console.log(`  the page's own heap afterwards: ${(memory / 1e6).toFixed(0)} MB`);
      if (troubles.length > 0) throw new Error(troubles.join("\n"));
    } finally {
      await close();
    }
  }
} finally {
  await site.close();
}

/** Runs in the page: from the click on the face to the chart that shows every session. @param {number} count */
async function openFace(count) {
  const { hash } = location;
  const start = performance.now();
  location.hash = hash.replace("#numbers", "#compare").concat("&face=visits");
  const drawn = await new Promise((resolve) => {
    const look = () => {
      const plot = /** @type {HTMLElement|null} */ (document.querySelector(".visits-plot"));
      if (plot?.dataset.sessions === String(count) && plot.querySelector("canvas")) resolve(performance.now() - start);
      else requestAnimationFrame(look);
    };
    look();
  });
  const complete = await new Promise((resolve) => {
    const look = () => {
      if (document.querySelector(".visits-values tbody tr") && document.querySelector(".visits-pair h2")) resolve(performance.now() - start);
      else requestAnimationFrame(look);
    };
    look();
  });
  return { drawn, complete };
}
