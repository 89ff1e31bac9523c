// A measure over dates as a chart: uPlot draws the axes, we draw each mean with its bar. Left is filled, right hollow, as
// on the numbers view; what both arms give is a filled grey. The clips of one day stand side by side and differ in shape.
// One button lies over the point that the pointer or the arrow keys are at: a thousand buttons would be slow and no help
// to anyone; the table beside the chart names every point.

import uPlot from "../vendor/uplot/uPlot.js";
import { NO_PATH, PAPER_WIDTH, QUIET, axis, colours, outline, withAir } from "../numbers/chart-look.js";
import { numbers } from "../words/numbers.js";
import { visits } from "../words/visits.js";
import { pointsOf, writerOf } from "./points.js";

/** @typedef {import("./points.js").Point} Point */
/** @typedef {import("./types.js").MeasureHistory} MeasureHistory */

const words = visits.history;
const DAY_S = 86_400;
/** CSS pixels from one clip of a day to the next, and from the left arm to the right one. */
const STEP = 7;
/** How near the pointer has to be, CSS pixels. */
const NEAR = 28;

export class HistoryChart {
  /** @type {uPlot|null} */
  #plot = null;
  /** @type {Point[]} */
  #points = [];
  /** Where each point is, CSS pixels from the plot's corner. @type {[number, number][]} */
  #places = [];
  /** @type {MeasureHistory|null} */
  #history = null;
  #choice = "";
  #drawn = "";
  #at = 0;
  #spot = document.createElement("button");
  #tip = document.createElement("span");
  #place;
  #open;
  #say;
  #watch = new ResizeObserver(() => this.draw(false));
  #beforePrint = () => this.draw(true);
  #afterPrint = () => this.draw(false);

  /**
   * @param {HTMLElement} place
   * @param {{open: (point: Point) => void, say: (text: string) => void}} act
   */
  constructor(place, { open, say }) {
    this.#place = place;
    this.#open = open;
    this.#say = say;
    this.#watch.observe(place);
    addEventListener("beforeprint", this.#beforePrint);
    addEventListener("afterprint", this.#afterPrint);
    this.#spot.type = "button";
    this.#spot.className = "visits-spot";
    this.#tip.className = "visits-tip";
    this.#spot.append(this.#tip);
    this.#spot.addEventListener("click", () => this.#open(this.#points[this.#at]));
    this.#spot.addEventListener("keydown", (event) => this.#pressed(event));
  }

  /** @param {MeasureHistory} history @param {import("./points.js").Choice} choice @param {string} label the open session's @param {(label: string) => boolean} isOther */
  set(history, choice, label, isOther) {
    const chosen = JSON.stringify([choice, label]);
    if (history === this.#history && chosen === this.#choice) {
      this.draw(false); // the theme may be another
      return;
    }
    this.#history = history;
    this.#choice = chosen;
    this.#points = pointsOf(history, choice, isOther);
    this.#place.dataset.sessions = String(new Set(this.#points.map(({ entry }) => entry.session)).size);
    this.#at = Math.max(this.#points.length - 1, 0);
    this.#drawn = "";
    this.draw(false);
  }

  /** @param {boolean} print */
  draw(print) {
    const { clientWidth, clientHeight: height } = this.#place;
    const width = print ? PAPER_WIDTH : clientWidth;
    const colour = colours(print);
    const key = [JSON.stringify(colour), width, height, devicePixelRatio].join();
    if (key === this.#drawn || clientWidth === 0) return;
    this.#drawn = key;
    const hadFocus = document.activeElement === this.#spot;
    this.#plot?.destroy();
    this.#plot = null;
    if (this.#points.length === 0 || !this.#history) return;
    this.#plot = new uPlot(this.#options(this.#history, colour, width, height), /** @type {any} */ ([this.#points.map(({ at }) => at), this.#points.map(({ value }) => value)]), this.#place);
    if (hadFocus) this.#spot.focus();
  }

  /**
   * @param {MeasureHistory} history
   * @param {import("../numbers/chart-look.js").Colours} colour
   * @param {number} width
   * @param {number} height
   * @returns {any}
   */
  #options(history, colour, width, height) {
    const { unit } = writerOf(history);
    const times = this.#points.map(({ at }) => at);
    const [first, last] = [times[0], times[times.length - 1]];
    const air = Math.max((last - first) * 0.03, DAY_S * 2);
    return {
      ...QUIET,
      width,
      height,
      tzDate: (/** @type {number} */ at) => uPlot.tzDate(new Date(at * 1000), "Etc/UTC"),
      scales: { x: { time: true, range: [first - air, last + air] }, y: { range: withAir(this.#points.flatMap(({ bar }) => bar), 0.08) } },
      axes: [
        axis(colour, { size: 30, space: 90, values: (/** @type {unknown} */ _, /** @type {number[]} */ splits) => datesAt(splits) }),
        axis(colour, { label: words.axis(numbers.measure(history.kind), unit), size: 56 }),
      ],
      series: [{}, NO_PATH],
      hooks: {
        draw: [(/** @type {uPlot} */ plot) => this.#draw(plot, colour)],
        ready: [(/** @type {uPlot} */ plot) => this.#listen(plot)],
      },
    };
  }

  /** @param {uPlot} plot @param {import("../numbers/chart-look.js").Colours} colour */
  #draw(plot, colour) {
    const { ctx } = plot;
    const px = devicePixelRatio;
    const { left, top, height } = plot.bbox;
    const places = this.#points.map((point) => this.#placeOf(plot, point));
    ctx.save();
    ctx.lineWidth = 1.5 * px;
    for (const [index, { side, bar, isInterval }] of this.#points.entries()) {
      const x = places[index][0];
      const [low, high] = bar.map((value) => plot.valToPos(value, "y", true));
      ctx.strokeStyle = side === null ? colour.ink : colour[side];
      ctx.globalAlpha = isInterval ? 0.75 : 0.9;
      ctx.setLineDash(isInterval ? [] : [2 * px, 2 * px]);
      ctx.beginPath();
      ctx.moveTo(x, low);
      ctx.lineTo(x, high);
      if (isInterval) {
        for (const end of [low, high]) {
          ctx.moveTo(x - 2.5 * px, end);
          ctx.lineTo(x + 2.5 * px, end);
        }
      }
      ctx.stroke();
    }
    ctx.setLineDash([]);
    ctx.globalAlpha = 1;
    for (const [index, { entry, side, isOther }] of this.#points.entries()) {
      const [x, y] = places[index];
      ctx.strokeStyle = side === null ? colour.ink : colour[side];
      ctx.fillStyle = side === "right" ? colour.surface : ctx.strokeStyle;
      ctx.lineWidth = 2 * px;
      if (isOther) {
        cross(ctx, x, y, 5 * px);
      } else {
        shape(ctx, entry.of_day, x, y, 4 * px);
        ctx.fill();
      }
      ctx.stroke();
      if (entry.changes.length > 0) {
        // On the axis: from here on something was stated otherwise.
        const foot = top + height;
        ctx.fillStyle = colour.ink;
        ctx.beginPath();
        ctx.moveTo(x, foot - 9 * px);
        ctx.lineTo(x + 5 * px, foot);
        ctx.lineTo(x - 5 * px, foot);
        ctx.closePath();
        ctx.fill();
      }
    }
    ctx.restore();
    this.#places = places.map(([x, y]) => [(x - left) / px, (y - top) / px]);
  }

  /** Canvas pixels: the day, and beside its middle the clip and the arm. @param {uPlot} plot @param {Point} point @returns {[number, number]} */
  #placeOf(plot, { at, value, entry: { of_day, on_day }, side }) {
    const ofDay = (Math.min(of_day, 4) - (Math.min(on_day, 4) + 1) / 2) * STEP * (side === null ? 1 : 2);
    const ofArm = side === null ? 0 : side === "left" ? -STEP / 2 : STEP / 2;
    return [plot.valToPos(at, "x", true) + (ofDay + ofArm) * devicePixelRatio, plot.valToPos(value, "y", true)];
  }

  /** @param {uPlot} plot */
  #listen(plot) {
    plot.over.addEventListener("pointermove", ({ offsetX, offsetY, target }) => {
      if (target === plot.over) this.#toNearest(offsetX, offsetY);
    });
    plot.over.addEventListener("pointerdown", ({ offsetX, offsetY, target }) => {
      if (target === plot.over) this.#toNearest(offsetX, offsetY);
    });
    plot.over.append(this.#spot);
    this.#show();
  }

  /** @param {number} x @param {number} y */
  #toNearest(x, y) {
    let nearest = -1;
    let least = NEAR;
    for (const [index, place] of this.#places.entries()) {
      const distance = Math.hypot(place[0] - x, place[1] - y);
      if (distance < least) [nearest, least] = [index, distance];
    }
    if (nearest >= 0 && nearest !== this.#at) {
      this.#at = nearest;
      this.#show();
    }
  }

  /** @param {KeyboardEvent} event */
  #pressed(event) {
    const step = { ArrowRight: 1, ArrowLeft: -1, PageDown: 10, PageUp: -10, Home: -Infinity, End: Infinity }[event.key];
    if (step === undefined) return;
    this.#at = Math.max(0, Math.min(this.#points.length - 1, this.#at + step));
    this.#show();
    this.#say(this.#points[this.#at].name);
    event.preventDefault();
    event.stopPropagation();
  }

  /** Puts the button over the point. */
  #show() {
    const point = this.#points[this.#at];
    const place = this.#places[this.#at];
    if (!point || !place) return;
    const [x, y] = place;
    this.#spot.setAttribute("aria-label", point.name);
    this.#spot.dataset.session = point.entry.session;
    this.#spot.style.left = `${x}px`;
    this.#spot.style.top = `${y}px`;
    this.#tip.textContent = point.name;
    this.#tip.classList.toggle("to-left", x > (this.#plot?.over.clientWidth ?? 0) / 2);
    this.#tip.classList.toggle("below", y < 80);
  }

  close() {
    this.#watch.disconnect();
    removeEventListener("beforeprint", this.#beforePrint);
    removeEventListener("afterprint", this.#afterPrint);
    this.#plot?.destroy();
  }
}

/** The shape of a day's clip, around (x, y): circle, diamond, square, triangle. @param {CanvasRenderingContext2D} ctx @param {number} of_day @param {number} x @param {number} y @param {number} radius */
function shape(ctx, of_day, x, y, radius) {
  ctx.beginPath();
  const known = /** @type {const} */ (["circle", "diamond", "square"])[of_day - 1];
  if (known) {
    outline(ctx, known, x, y, radius);
  } else {
    ctx.moveTo(x, y - radius * 1.2);
    ctx.lineTo(x + radius * 1.2, y + radius);
    ctx.lineTo(x - radius * 1.2, y + radius);
    ctx.closePath();
  }
}

/** Another swimmer: not a point of this row of points. @param {CanvasRenderingContext2D} ctx @param {number} x @param {number} y @param {number} reach */
function cross(ctx, x, y, reach) {
  ctx.beginPath();
  ctx.moveTo(x - reach, y - reach);
  ctx.lineTo(x + reach, y + reach);
  ctx.moveTo(x - reach, y + reach);
  ctx.lineTo(x + reach, y - reach);
}

/** Years where the ticks are years apart, months where months, else days; as dates are written in files. @param {number[]} splits */
function datesAt(splits) {
  const step = splits.length > 1 ? splits[1] - splits[0] : DAY_S;
  const length = step > 360 * DAY_S ? 4 : step > 27 * DAY_S ? 7 : 10;
  return splits.map((at) => (step < DAY_S && at % DAY_S !== 0 ? "" : new Date(at * 1000).toISOString().slice(0, length)));
}
