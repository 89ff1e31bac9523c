// The propulsive gap over the clip: each gap at its time, above the zero line; overlaps below it.

import { numbers } from "../words/numbers.js";
import { NO_PATH, QUIET, axis, sign, withAir, write } from "./chart-look.js";
import { written } from "./format.js";

/** @typedef {import("./types.js").GapPoint} GapPoint */

const words = numbers.charts;

/** @param {GapPoint[]} gaps @param {import("./chart-look.js").Colours} colour @returns {import("./plot.js").Chart} */
export function gapChart(gaps, colour) {
  const ends = gaps.flatMap(({ gap_ms: { value, uncertainty } }) => [value - uncertainty, value + uncertainty]);
  return {
    least_width: 0,
    bars: false,
    data: [gaps.map((gap) => gap.time_s), gaps.map((gap) => gap.gap_ms.value)],
    spots: gaps.map((gap) => ({ x: gap.time_s, y: gap.gap_ms.value, name: nameOf(gap), marks: gap.marks })),
    options: {
      ...QUIET,
      scales: { x: { time: false, range: withAir(gaps.map((gap) => gap.time_s), 0.04) }, y: { range: withAir([0, ...ends], 0.14) } },
      axes: [axis(colour, { label: words.time, size: 26 }), axis(colour, { label: words.gap.axis, size: 50 })],
      series: [{}, NO_PATH],
      hooks: {
        draw: [
          (u) => {
            zeroLine(u, colour);
            for (const gap of gaps) {
              sign(u, { x: gap.time_s, figure: gap.gap_ms, side: gap.waiting, breathing: gap.breathing }, colour);
            }
          },
        ],
      },
    },
  };
}

/** @param {GapPoint} gap */
function nameOf(gap) {
  const said = [
    written(gap.gap_ms, "ms"),
    ...(gap.frames === null ? [] : [written(gap.frames, "frames")]),
    ...(gap.share_percent === null ? [] : [written(gap.share_percent, words.columns.share)]),
  ];
  return words.gap.point(gap.time_s, gap.waiting, gap.breathing, said.join(", "));
}

/**
 * Nought is where the arms hand over without gap or overlap: drawn strong, with what lies on either side of it.
 * @param {import("../vendor/uplot/uPlot.js")} u @param {import("./chart-look.js").Colours} colour
 */
function zeroLine(u, colour) {
  const { ctx } = u;
  const px = devicePixelRatio;
  const { left, top, width, height } = u.bbox;
  const zero = u.valToPos(0, "y", true);
  ctx.save();
  ctx.strokeStyle = colour.ink;
  ctx.lineWidth = 2 * px;
  ctx.beginPath();
  ctx.moveTo(left, zero);
  ctx.lineTo(left + width, zero);
  ctx.stroke();
  ctx.textAlign = "right";
  ctx.textBaseline = "bottom";
  write(ctx, words.gap.above, left + width - 4 * px, zero - 4 * px, colour);
  if (top + height - zero > 22 * px) {
    ctx.textBaseline = "top";
    write(ctx, words.gap.below, left + width - 4 * px, zero + 5 * px, colour);
  }
  ctx.restore();
}
