// The four phases of every cycle as stacked bars, left and right beside each other in the order of time.

import uPlot from "../vendor/uplot/uPlot.js";
import { PHASE_TEXTURE, textureFill } from "../marks/textures.js";
import { decimal } from "../marks/figures.js";
import { numbers } from "../words/numbers.js";
import { QUIET, axis, write } from "./chart-look.js";
import { written } from "./format.js";

/** @typedef {import("./types.js").PhaseBar} PhaseBar */
/** @typedef {import("./chart-look.js").Colours} Colours */

const words = numbers.charts;
const TEXTURES = Object.values(PHASE_TEXTURE);
/** A part of a bar shorter than this, %, has no room for its number. */
const LEAST_WRITTEN = 9;
/** CSS pixels that a bar needs for its number. */
const BAR_WIDTH = 28;

/** @param {PhaseBar[]} bars @param {Colours} colour @returns {import("./plot.js").Chart} */
export function phaseChart(bars, colour) {
  const places = bars.map((_, index) => index);
  const upTo = (/** @type {PhaseBar} */ bar, /** @type {number} */ phases) => bar.shares_percent.slice(0, phases).reduce((sum, share) => sum + share.value, 0);
  // Stacked from the top down: each layer covers the lower part of the one before it.
  const layers = /** @type {const} */ (["left", "right"]).flatMap((side) => [4, 3, 2, 1].map((phases) => ({ side, phases })));
  const paths = /** @type {NonNullable<typeof uPlot.paths.bars>} */ (uPlot.paths.bars)({ size: [0.78, 64], align: 0 });
  const breaths = bars.some((bar) => bar.breathing === true);
  return {
    least_width: BAR_WIDTH * bars.length + 70,
    bars: true,
    data: [places, ...layers.map(({ side, phases }) => bars.map((bar) => (bar.side === side ? upTo(bar, phases) : null)))],
    spots: bars.map((bar, index) => ({ x: index, y: 50, name: nameOf(bar), marks: bar.marks })),
    options: {
      ...QUIET,
      scales: { x: { time: false, range: [-0.6, bars.length - 0.4] }, y: { range: [0, 100] } },
      axes: [
        axis(colour, {
          splits: () => places,
          values: () => bars.map((bar) => words.phases.bar(bar.side, bar.cycle + 1) + (bar.breathing === true ? `\n${words.phases.breath}` : "")),
          size: breaths ? 44 : 28,
          grid: { show: false },
        }),
        axis(colour, { label: words.phases.axis, size: 44, splits: () => [0, 25, 50, 75, 100] }),
      ],
      series: [
        {},
        ...layers.map(({ side, phases }) => ({
          paths,
          points: { show: false },
          stroke: colour[side],
          width: 1.5,
          // uPlot hands this to the canvas as it is, where a pattern is as good as a colour.
          fill: (/** @type {uPlot} */ u) => /** @type {any} */ (textureFill(u.ctx, TEXTURES[phases - 1], colour[side], colour[`${side}Soft`], devicePixelRatio)),
        })),
      ],
      hooks: { draw: [(u) => writeShares(u, bars, colour)] },
    },
  };
}

/** @param {PhaseBar} bar */
function nameOf(bar) {
  return words.phases.point(bar.side, bar.cycle + 1, bar.breathing, bar.shares_percent.map((share) => written(share, "%")));
}

/** @param {uPlot} u @param {PhaseBar[]} bars @param {Colours} colour */
function writeShares(u, bars, colour) {
  u.ctx.save();
  u.ctx.textAlign = "center";
  u.ctx.textBaseline = "middle";
  bars.forEach((bar, index) => {
    let below = 0;
    for (const { value } of bar.shares_percent) {
      if (value >= LEAST_WRITTEN) {
        write(u.ctx, decimal(value, 0), u.valToPos(index, "x", true), u.valToPos(below + value / 2, "y", true), colour);
      }
      below += value;
    }
  });
  u.ctx.restore();
}
