// The three charts: the gap over the clip, the phases and the rate of each cycle. uPlot draws axes and bars; every
// stroke on a chart is also a button over it (focus, Enter, click: its frames), and every chart is also a table.
// Arms and breathing differ in shape, texture and fill, never in colour alone.
// Not for: computing what is drawn (that comes from crates/report).

import uPlot from "../vendor/uplot/uPlot.js";
import { html, nothing, render } from "../vendor/lit-html/lit-html.js";
import { numbers } from "../words/numbers.js";
import { rateTag } from "./basis.js";
import { fixed } from "./format.js";
import { mark, patterns } from "./chart-marks.js";

/** @typedef {import("./types.js").Plots} Plots */
/** @typedef {import("./types.js").GapPoint} GapPoint */
/** @typedef {import("./types.js").PhaseBar} PhaseBar */
/** @typedef {import("./types.js").RatePoint} RatePoint */
/** @typedef {import("./frames.js").Frames} Frames */
/** @typedef {{x: number, y: number, name: string, marks: number[]}} Spot in the plot's own units */
/** @typedef {"gap"|"phases"|"rate"} ChartName */
/** @typedef {{name: ChartName, data: any, opts: Omit<uPlot.Options, "width"|"height">, spots: Spot[], least: number}} Chart */

const words = numbers.charts;
const FONT = '14px "Source Sans 3", "Segoe UI", sans-serif';
const LABEL_FONT = '600 14px "Source Sans 3", "Segoe UI", sans-serif';

/** The theme's colours; in print black on white, whatever the theme. @param {boolean} print */
function colours(print) {
  const style = getComputedStyle(document.documentElement);
  const of = (/** @type {string} */ token) => style.getPropertyValue(token).trim();
  const screen = {
    ink: of("--ink"), soft: of("--ink-soft"), line: of("--line"), surface: of("--surface-raised"),
    left: of("--arm-left"), leftSoft: of("--arm-left-soft"), right: of("--arm-right"), rightSoft: of("--arm-right-soft"),
  };
  return print
    ? { ink: "#000", soft: "#000", line: "#bbb", surface: "#fff", left: "#222", leftSoft: "#e4e4e4", right: "#777", rightSoft: "#f4f4f4" }
    : screen;
}
/** @typedef {ReturnType<typeof colours>} Colours */

/** @param {Colours} colour @param {Partial<uPlot.Axis>} more @returns {uPlot.Axis} */
function axis(colour, more) {
  return /** @type {uPlot.Axis} */ ({
    stroke: colour.ink,
    font: FONT,
    labelFont: FONT,
    labelSize: 20,
    labelGap: 0,
    gap: 3,
    grid: { stroke: colour.line, width: 1 },
    ticks: { stroke: colour.line, width: 1, size: 5 },
    ...more,
  });
}

/** A range with some air, so that no mark stands on the edge. @param {number[]} values @param {number} share */
function withAir(values, share) {
  const low = Math.min(...values);
  const high = Math.max(...values);
  const air = Math.max((high - low) * share, 1e-3);
  return /** @type {[number, number]} */ ([low - air, high + air]);
}

/** Drawn by hooks, not as a line. */
const NO_PATH = { paths: () => null, points: { show: false } };
const QUIET = { cursor: { show: false }, legend: { show: false }, padding: /** @type {[number, number, number, number]} */ ([12, 12, 0, 0]) };

/** @param {GapPoint[]} gaps @param {Colours} colour @returns {Chart} */
function gapChart(gaps, colour) {
  const low = Math.min(0, ...gaps.map((gap) => gap.gap_ms - gap.uncertainty_ms));
  const high = Math.max(0, ...gaps.map((gap) => gap.gap_ms + gap.uncertainty_ms));
  const range = withAir([low, high], 0.14);
  const times = withAir(gaps.map((gap) => gap.time_s), 0.04);
  return {
    name: "gap",
    least: 0,
    data: [gaps.map((gap) => gap.time_s), gaps.map((gap) => gap.gap_ms)],
    spots: gaps.map((gap) => ({
      x: gap.time_s,
      y: gap.gap_ms,
      name: words.gap.point(gap.time_s, gap.waiting, gap.breathing, gapText(gap)),
      marks: gap.marks,
    })),
    opts: {
      ...QUIET,
      scales: { x: { time: false, range: times }, y: { range } },
      axes: [axis(colour, { label: words.time, size: 26 }), axis(colour, { label: words.gap.axis, size: 56 })],
      series: [{}, NO_PATH],
      hooks: {
        draw: [
          (u) => {
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
            ctx.font = FONT.replace("14px", `${14 * px}px`);
            ctx.textAlign = "right";
            ctx.textBaseline = "bottom";
            write(ctx, words.gap.above, left + width - 4 * px, zero - 3 * px, colour);
            if (top + height - zero > 20 * px) {
              ctx.textBaseline = "top";
              write(ctx, words.gap.below, left + width - 4 * px, zero + 4 * px, colour);
            }
            for (const gap of gaps) {
              const x = u.valToPos(gap.time_s, "x", true);
              const span = [gap.gap_ms - gap.uncertainty_ms, gap.gap_ms + gap.uncertainty_ms].map((value) => u.valToPos(value, "y", true));
              mark(ctx, { x, y: u.valToPos(gap.gap_ms, "y", true), span, side: gap.waiting, breathing: gap.breathing, colour, px });
            }
            ctx.restore();
          },
        ],
      },
    },
  };
}

/** @param {GapPoint} gap */
function gapText(gap) {
  const frames = gap.frames === null ? "" : `, ${fixed(gap.frames, 1)} frames`;
  const share = gap.share_percent === null ? "" : `, ${fixed(gap.share_percent, 1)} %`;
  return `${fixed(gap.gap_ms, 0)} ± ${gap.uncertainty_ms.toFixed(gap.uncertainty_ms < 0.95 ? 1 : 0)} ms${frames}${share}`;
}

/**
 * Text that is read on any ground: a rim of the surface's colour under it.
 * @param {CanvasRenderingContext2D} ctx @param {string} text @param {number} x @param {number} y @param {Colours} colour
 */
function write(ctx, text, x, y, colour) {
  ctx.lineJoin = "round";
  ctx.lineWidth = 5 * devicePixelRatio;
  ctx.strokeStyle = colour.surface;
  ctx.strokeText(text, x, y);
  ctx.fillStyle = colour.ink;
  ctx.fillText(text, x, y);
}

/** @param {PhaseBar[]} bars @param {Colours} colour @returns {Chart} */
function phaseChart(bars, colour) {
  const slots = bars.map((_, index) => index);
  const sum = (/** @type {PhaseBar} */ bar, /** @type {number} */ phases) => bar.shares_percent.slice(0, phases).reduce((total, share) => total + share, 0);
  const textures = { left: patterns(colour.left, colour.leftSoft), right: patterns(colour.right, colour.rightSoft) };
  // Stacked from the top down: each series covers the lower part of the one before it.
  const layers = /** @type {const} */ (["left", "right"]).flatMap((side) => [4, 3, 2, 1].map((phases) => ({ side, phases })));
  const bars_of = /** @type {uPlot.Series.BarsPathBuilderFactory} */ (uPlot.paths.bars)({ size: [0.78, 64], align: 0 });
  return {
    name: "phases",
    least: 30 * bars.length + 70,
    data: [slots, ...layers.map(({ side, phases }) => bars.map((bar) => (bar.side === side ? sum(bar, phases) : null)))],
    spots: bars.map((bar, index) => ({
      x: index,
      y: 50,
      name: words.phases.point(bar.side, bar.cycle + 1, bar.breathing, bar.shares_percent.map((share) => `${fixed(share, 1)} %`)),
      marks: bar.marks,
    })),
    opts: {
      ...QUIET,
      scales: { x: { time: false, range: [-0.6, bars.length - 0.4] }, y: { range: [0, 100] } },
      axes: [
        axis(colour, {
          splits: () => slots,
          values: () => bars.map((bar) => words.phases.bar(bar.side, bar.cycle + 1) + (bar.breathing === true ? `\n${words.phases.breath}` : "")),
          size: bars.some((bar) => bar.breathing === true) ? 44 : 28,
          grid: { show: false },
        }),
        axis(colour, { label: words.phases.axis, size: 50, splits: () => [0, 25, 50, 75, 100] }),
      ],
      series: [
        {},
        ...layers.map(({ side, phases }) => ({
          paths: bars_of,
          points: { show: false },
          stroke: colour[side],
          width: 1.5,
          fill: () => /** @type {any} */ (textures[side][phases - 1]),
        })),
      ],
      hooks: { draw: [(u) => writeShares(u, bars, colour)] },
    },
  };
}

/** The per cent in each part of a bar, where there is room. @param {uPlot} u @param {PhaseBar[]} bars @param {Colours} colour */
function writeShares(u, bars, colour) {
  const { ctx } = u;
  const px = devicePixelRatio;
  ctx.save();
  ctx.font = LABEL_FONT.replace("14px", `${14 * px}px`);
  ctx.textAlign = "center";
  ctx.textBaseline = "middle";
  bars.forEach((bar, index) => {
    let below = 0;
    for (const share of bar.shares_percent) {
      const middle = below + share / 2;
      below += share;
      if (share >= 9) {
        const [x, y] = [u.valToPos(index, "x", true), u.valToPos(middle, "y", true)];
        write(ctx, fixed(share, 0), x, y, colour);
      }
    }
  });
  ctx.restore();
}

/** @param {RatePoint[]} rates @param {Colours} colour @returns {Chart} */
function rateChart(rates, colour) {
  const range = withAir(rates.flatMap((rate) => [rate.strokes_per_min - rate.uncertainty_strokes_per_min, rate.strokes_per_min + rate.uncertainty_strokes_per_min]), 0.14);
  const times = withAir(rates.map((rate) => rate.time_s), 0.04);
  const of = (/** @type {"left"|"right"} */ side) => rates.map((rate) => (rate.side === side ? rate.strokes_per_min : null));
  return {
    name: "rate",
    least: 0,
    data: [rates.map((rate) => rate.time_s), of("left"), of("right")],
    spots: rates.map((rate) => ({
      x: rate.time_s,
      y: rate.strokes_per_min,
      name: words.rate.point(rate.side, rate.cycle + 1, rate.breathing, rateText(rate)),
      marks: rate.marks,
    })),
    opts: {
      ...QUIET,
      scales: { x: { time: false, range: times }, y: { range } },
      axes: [
        axis(colour, { label: words.time, size: 26 }),
        axis(colour, { label: words.rate.axis, size: 56 }),
        axis(colour, { label: words.rate.axis_cycles, size: 56, side: 1, grid: { show: false }, values: (_u, splits) => splits.map((value) => fixed(value / 2, 1)) }),
      ],
      series: [
        {},
        { stroke: colour.left, width: 1.5, spanGaps: true, points: { show: false } },
        { stroke: colour.right, width: 1.5, dash: [6, 5], spanGaps: true, points: { show: false } },
      ],
      hooks: {
        draw: [
          (u) => {
            u.ctx.save();
            for (const rate of rates) {
              const span = [-1, 1].map((way) => u.valToPos(rate.strokes_per_min + way * rate.uncertainty_strokes_per_min, "y", true));
              mark(u.ctx, { x: u.valToPos(rate.time_s, "x", true), y: u.valToPos(rate.strokes_per_min, "y", true), span, side: rate.side, breathing: rate.breathing, colour, px: devicePixelRatio });
            }
            u.ctx.restore();
          },
        ],
      },
    },
  };
}

/** @param {RatePoint} rate */
function rateText(rate) {
  return `${fixed(rate.strokes_per_min, 1)} ± ${rate.uncertainty_strokes_per_min.toFixed(1)} strokes/min, ${fixed(rate.strokes_per_min / 2, 1)} cycles/min`;
}

/** One chart on the page: draws itself again when its data, its width or the theme changes. */
class Plot {
  /** @type {uPlot|null} */
  #plot = null;
  #drawn = "";
  #place;
  #frames;
  /** @type {((colour: Colours) => Chart)|null} */
  #make = null;
  #data = "";
  #watch = new ResizeObserver(() => this.draw(false));

  /** @param {HTMLElement} place @param {Frames} frames */
  constructor(place, frames) {
    this.#place = place;
    this.#frames = frames;
    this.#watch.observe(place);
  }

  /** @param {any[]} data @param {(colour: Colours) => Chart} make */
  set(data, make) {
    this.#data = JSON.stringify(data);
    this.#make = data.length === 0 ? null : make;
    this.draw(false);
  }

  /** @param {boolean} print */
  draw(print) {
    const colour = colours(print);
    const width = this.#place.clientWidth;
    const height = this.#place.clientHeight;
    const key = [this.#data, JSON.stringify(colour), width, height, devicePixelRatio].join();
    if (key === this.#drawn || width === 0) {
      return;
    }
    this.#drawn = key;
    this.#plot?.destroy();
    this.#plot = null;
    if (!this.#make) {
      return;
    }
    const chart = this.#make(colour);
    this.#plot = new uPlot({ ...chart.opts, width: Math.max(width, chart.least), height }, chart.data, this.#place);
    this.#putSpots(this.#plot, chart);
  }

  /**
   * A button over each stroke. One of them is in the tab order; arrows go from one to the next.
   * @param {uPlot} plot @param {Chart} chart
   */
  #putSpots(plot, chart) {
    const spots = chart.spots.map((spot, index) => {
      const button = document.createElement("button");
      button.className = "numbers-spot";
      button.dataset.marks = spot.marks.join(" ");
      button.tabIndex = index === 0 ? 0 : -1;
      button.setAttribute("aria-label", spot.name);
      button.style.left = `${plot.valToPos(spot.x, "x")}px`;
      button.style.top = `${plot.valToPos(spot.y, "y")}px`;
      if (chart.name === "phases") {
        button.classList.add("bar");
        button.style.height = `${plot.over.clientHeight}px`;
        button.style.width = `${plot.valToPos(1, "x") - plot.valToPos(0, "x")}px`;
      }
      const tip = document.createElement("span");
      tip.className = "numbers-spot-tip";
      tip.textContent = spot.name;
      if (plot.valToPos(spot.x, "x") > plot.over.clientWidth / 2) {
        tip.classList.add("to-left");
      }
      button.append(tip);
      button.addEventListener("click", () => this.#frames.go(spot.marks));
      return button;
    });
    plot.over.addEventListener("keydown", (event) => {
      const here = spots.findIndex((spot) => spot === document.activeElement);
      const step = { ArrowRight: 1, ArrowLeft: -1, Home: -spots.length, End: spots.length }[event.key];
      if (here < 0 || step === undefined) {
        return;
      }
      const next = spots[Math.max(0, Math.min(spots.length - 1, here + step))];
      spots[here].tabIndex = -1;
      next.tabIndex = 0;
      next.focus();
      event.preventDefault();
      event.stopPropagation();
    });
    plot.over.append(...spots);
  }

  close() {
    this.#watch.disconnect();
    this.#plot?.destroy();
  }
}

/** The three charts of the view. */
export class Charts {
  /** @type {Map<ChartName, Plot>} */
  #plots = new Map();
  #frames;
  #beforePrint = () => this.#plots.forEach((plot) => plot.draw(true));
  #afterPrint = () => this.#plots.forEach((plot) => plot.draw(false));

  /** @param {Frames} frames */
  constructor(frames) {
    this.#frames = frames;
    addEventListener("beforeprint", this.#beforePrint);
    addEventListener("afterprint", this.#afterPrint);
  }

  /**
   * @param {ChartName} name @param {HTMLElement} root the chart's section, as `chartSection` drew it
   * @param {Plots} plots
   */
  update(name, root, plots) {
    const place = /** @type {HTMLElement} */ (root.querySelector(".numbers-plot"));
    const plot = this.#plots.get(name) ?? new Plot(place, this.#frames);
    this.#plots.set(name, plot);
    if (name === "gap") {
      plot.set(plots.gaps, (colour) => gapChart(plots.gaps, colour));
    } else if (name === "phases") {
      plot.set(plots.phases, (colour) => phaseChart(plots.phases, colour));
    } else {
      plot.set(plots.rates, (colour) => rateChart(plots.rates, colour));
    }
    render(equivalent(name, plots, this.#frames), /** @type {HTMLElement} */ (root.querySelector(".numbers-equivalent")));
  }

  close() {
    removeEventListener("beforeprint", this.#beforePrint);
    removeEventListener("afterprint", this.#afterPrint);
    this.#plots.forEach((plot) => plot.close());
    this.#plots.clear();
  }
}

/**
 * A chart's place on the page, its heading, legend and the place of its table.
 * @param {ChartName} name
 * @param {{clip: import("../sitting/types.js").ClipRecord, analysis: any, plots: Plots}} shown
 */
export function chartSection(name, { clip, analysis, plots }) {
  const heading = `numbers-chart-${name}`;
  const empty = { gap: plots.gaps, phases: plots.phases, rate: plots.rates }[name].length === 0;
  return html`<section class="numbers-chart" data-chart=${name} aria-labelledby=${heading}>
    <div class="numbers-group-head">
      <h2 id=${heading}>${words[name].title}</h2>
      ${rateTag({ clip, analysis })}
    </div>
    ${empty ? html`<p class="soft">${words[name].none}</p>` : legendOf(name, plots)}
    <div class="numbers-plot-scroll" ?hidden=${empty}>
      <div class="numbers-plot" role="group" aria-labelledby=${heading} title="" aria-description=${words.keys}></div>
    </div>
    <details class="numbers-as-table" ?hidden=${empty}>
      <summary>${words.as_table}</summary>
      <div class="numbers-equivalent table-scroll" tabindex="0" role="region" aria-labelledby=${heading}></div>
    </details>
  </section>`;
}

/** @param {ChartName} name @param {Plots} plots */
function legendOf(name, plots) {
  if (name === "phases") {
    return html`<ul class="numbers-legend">
      ${numbers.phases.map((phase, index) => html`<li><span class="numbers-swatch" data-phase=${index}></span>${phase}</li>`)}
    </ul>`;
  }
  const strokes = name === "gap" ? plots.gaps : plots.rates;
  const kinds = /** @type {[boolean|null, string][]} */ ([[true, words.legend.breathing], [false, words.legend.non_breathing], [null, words.legend.unknown]]).filter(([breathing]) =>
    strokes.some((stroke) => stroke.breathing === breathing),
  );
  return html`<ul class="numbers-legend">
    ${kinds.map(([breathing, text]) => html`<li><span class="numbers-shape" data-shape=${breathing === null ? "square" : breathing ? "diamond" : "circle"}></span>${text}</li>`)}
    <li><span class="numbers-shape" data-shape="circle" data-side="left"></span>${name === "gap" ? words.legend.until_left : words.legend.left}</li>
    <li><span class="numbers-shape" data-shape="circle" data-side="right"></span>${name === "gap" ? words.legend.until_right : words.legend.right}</li>
    <li><span class="numbers-shape" data-shape="bar"></span>${words.legend.bar}</li>
  </ul>`;
}

/** The chart's numbers as a table. @param {ChartName} name @param {Plots} plots @param {Frames} frames */
function equivalent(name, plots, frames) {
  const columns = words.columns;
  const go = (/** @type {number[]} */ marks, /** @type {string} */ text) => html`<button class="quiet" @click=${() => frames.go(marks)}>${text}</button>`;
  if (name === "gap") {
    return tableOf(
      [columns.time, columns.waiting, columns.breathing, columns.gap, columns.frames, columns.share],
      plots.gaps.map((gap) => [
        go(gap.marks, words.at(gap.time_s)),
        gap.waiting,
        numbers.stroke(gap.breathing),
        `${fixed(gap.gap_ms, 0)} ± ${gap.uncertainty_ms.toFixed(gap.uncertainty_ms < 0.95 ? 1 : 0)} ms`,
        gap.frames === null ? nothing : fixed(gap.frames, 1),
        gap.share_percent === null ? nothing : `${fixed(gap.share_percent, 1)} %`,
      ]),
    );
  }
  if (name === "phases") {
    return tableOf(
      [columns.cycle, columns.side, columns.breathing, ...numbers.phases],
      plots.phases.map((bar) => [
        go(bar.marks, `${bar.cycle + 1}, ${words.at(bar.start_s)}`),
        bar.side,
        numbers.stroke(bar.breathing),
        ...bar.shares_percent.map((share, index) => numbers.with_unit(fixed(share, 1), bar.uncertainty_percent[index]?.toFixed(1) ?? null, "%")),
      ]),
    );
  }
  return tableOf(
    [columns.cycle, columns.side, columns.breathing, columns.rate, columns.cycles],
    plots.rates.map((rate) => [
      go(rate.marks, `${rate.cycle + 1}, ${words.at(rate.time_s)}`),
      rate.side,
      numbers.stroke(rate.breathing),
      `${fixed(rate.strokes_per_min, 1)} ± ${rate.uncertainty_strokes_per_min.toFixed(1)}`,
      `${fixed(rate.strokes_per_min / 2, 1)} ± ${(rate.uncertainty_strokes_per_min / 2).toFixed(1)}`,
    ]),
  );
}

/** @param {string[]} columns @param {unknown[][]} rows */
function tableOf(columns, rows) {
  return html`<table>
    <thead><tr>${columns.map((column) => html`<th scope="col">${column}</th>`)}</tr></thead>
    <tbody>${rows.map((cells) => html`<tr>${cells.map((cell) => html`<td>${cell}</td>`)}</tr>`)}</tbody>
  </table>`;
}
