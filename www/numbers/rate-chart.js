// The rate of every cycle, one line for each arm.

import { decimal } from "../marks/figures.js";
import { numbers } from "../words/numbers.js";
import { QUIET, axis, sign, withAir } from "./chart-look.js";
import { written } from "./format.js";

/** @typedef {import("./types.js").RatePoint} RatePoint */

const words = numbers.charts;

/** @param {RatePoint[]} rates @param {import("./chart-look.js").Colours} colour @returns {import("./plot.js").Chart} */
export function rateChart(rates, colour) {
  const ends = rates.flatMap(({ strokes_per_min: { value, uncertainty } }) => [value - uncertainty, value + uncertainty]);
  const of = (/** @type {"left"|"right"} */ side) => rates.map((rate) => (rate.side === side ? rate.strokes_per_min.value : null));
  return {
    least_width: 0,
    bars: false,
    data: [rates.map((rate) => rate.time_s), of("left"), of("right")],
    spots: rates.map((rate) => ({ x: rate.time_s, y: rate.strokes_per_min.value, name: nameOf(rate), marks: rate.marks })),
    options: {
      ...QUIET,
      scales: { x: { time: false, range: withAir(rates.map((rate) => rate.time_s), 0.04) }, y: { range: withAir(ends, 0.14) } },
      axes: [
        axis(colour, { label: words.time, size: 26 }),
        axis(colour, { label: words.rate.axis, size: 50 }),
        // Two strokes are a cycle: the same height read in cycles.
        axis(colour, {
          label: words.rate.axis_cycles,
          size: 50,
          side: 1,
          grid: { show: false },
          values: (/** @type {unknown} */ _, /** @type {number[]} */ splits) => splits.map((strokes) => decimal(strokes / 2, 1)),
        }),
      ],
      series: [
        {},
        { stroke: colour.left, width: 1.5, spanGaps: true, points: { show: false } },
        { stroke: colour.right, width: 1.5, dash: [6, 5], spanGaps: true, points: { show: false } },
      ],
      hooks: {
        draw: [
          (u) => {
            for (const rate of rates) {
              sign(u, { x: rate.time_s, figure: rate.strokes_per_min, side: rate.side, breathing: rate.breathing }, colour);
            }
          },
        ],
      },
    },
  };
}

/** @param {RatePoint} rate */
function nameOf(rate) {
  const said = `${written(rate.strokes_per_min, "strokes/min")}, ${written(rate.cycles_per_min, "cycles/min")}`;
  return words.rate.point(rate.side, rate.cycle + 1, rate.breathing, said);
}
