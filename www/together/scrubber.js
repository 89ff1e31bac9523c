// The one scrubber of both clips: the drive of each along the common scale, the four phases by name, the playhead.
//
// By phase it spans one stroke, by time up to twelve seconds. Drawn as the roll draws: a hole where neither arm
// propels, an arm by its strip, both by a cross-hatch; phases by height and texture.

import { PHASES, PHASE_HEIGHT, PHASE_TEXTURE, paletteOf, textureFill } from "../marks/textures.js";
import { together as words } from "../words/together.js";

/** @typedef {import("./shapes.js").TogetherFacts} TogetherFacts */
/** @typedef {import("./shapes.js").Moment} Moment */
/** @typedef {import("./shapes.js").Phase} Phase */

/** By time: as much as is seen at once, s. */
const MOST_SECONDS = 12;
const LANE = 24;
const GAP = 5;
const AXIS = 46;
const KNOB = 8;
const SIDE = 10;

/** Its height, CSS pixels. */
const HEIGHT = 2 * (LANE + GAP) + AXIS + KNOB + 6;

export class Scrubber {
  /** @type {TogetherFacts|null} */
  facts = null;
  /** @type {Moment|null} */
  moment = null;
  /** @type {[string, string]} */
  names = ["", ""];
  /** @type {"left"|"right"|null} by phase: the arm that holds the clips together */
  side = null;
  #waiting = 0;
  #listening = new AbortController();

  /**
   * @param {HTMLCanvasElement} canvas
   * @param {(position: number) => void} goTo
   */
  constructor(canvas, goTo) {
    this.canvas = canvas;
    const { signal } = this.#listening;
    let hand = -1;
    const go = (/** @type {PointerEvent} */ event) => {
      if (this.facts) goTo(this.positionAt(event.clientX - canvas.getBoundingClientRect().left));
    };
    canvas.addEventListener("pointerdown", (event) => {
      if (event.button !== 0) return;
      hand = event.pointerId;
      canvas.setPointerCapture(hand);
      go(event);
    }, { signal });
    canvas.addEventListener("pointermove", (event) => {
      if (event.pointerId === hand) go(event);
    }, { signal });
    for (const kind of /** @type {const} */ (["pointerup", "pointercancel"])) {
      canvas.addEventListener(kind, () => { hand = -1; }, { signal });
    }
    const sized = new ResizeObserver(() => this.invalidate());
    sized.observe(canvas);
    signal.addEventListener("abort", () => sized.disconnect());
  }

  /** What part of the common scale is seen. */
  get span() {
    const { facts, moment } = this;
    if (!facts) return { from: 0, to: 1 };
    if (facts.strokes.length > 0) {
      const stroke = moment?.stroke ?? 0;
      return { from: 4 * stroke, to: 4 * stroke + 4 };
    }
    if (facts.to - facts.from <= MOST_SECONDS) return { from: facts.from, to: Math.max(facts.to, facts.from + 0.001) };
    const page = Math.floor(((moment?.position ?? 0) - facts.from) / MOST_SECONDS);
    return { from: facts.from + page * MOST_SECONDS, to: facts.from + (page + 1) * MOST_SECONDS };
  }

  /** @param {number} x CSS pixels from the canvas' edge */
  positionAt(x) {
    const { from, to } = this.span;
    const share = (x - this.#left) / (this.#right - this.#left);
    const inside = Math.min(Math.max(share, 0), 1);
    // The very end of a stroke is the next one's entry.
    const last = this.facts?.strokes.length ? to - 1e-9 : to;
    return Math.min(from + inside * (to - from), last);
  }

  invalidate() {
    this.#waiting ||= requestAnimationFrame(() => {
      this.#waiting = 0;
      this.#draw();
    });
  }

  close() {
    cancelAnimationFrame(this.#waiting);
    this.#listening.abort();
  }

  get #left() {
    return this.canvas.clientWidth < 560 ? SIDE : 92;
  }

  get #right() {
    return this.canvas.clientWidth - SIDE;
  }

  #draw() {
    const { canvas, facts } = this;
    const density = devicePixelRatio || 1;
    const wide = canvas.clientWidth;
    if (wide === 0) return;
    canvas.width = Math.round(wide * density);
    canvas.height = Math.round(HEIGHT * density);
    const pen = canvas.getContext("2d");
    if (!pen || !facts) return;
    pen.scale(density, density);
    const palette = paletteOf(canvas);
    const { from, to } = this.span;
    const xOf = (/** @type {number} */ position) => this.#left + ((position - from) / (to - from)) * (this.#right - this.#left);
    const font = `550 14px ${getComputedStyle(canvas).fontFamily}`;
    pen.textBaseline = "middle";
    for (const index of /** @type {const} */ ([0, 1])) {
      const top = index * (LANE + GAP) + 1;
      this.#lane(pen, palette, density, facts.drive[index].filter((stretch) => stretch.to > from && stretch.from < to), top, xOf);
      if (this.#left > SIDE) {
        pen.font = font;
        pen.fillStyle = palette["ink-soft"];
        pen.textAlign = "right";
        pen.fillText(fitted(pen, this.names[index], this.#left - 12), this.#left - 8, top + LANE / 2);
      }
    }
    const top = 2 * (LANE + GAP) + 2;
    pen.font = font;
    pen.textAlign = "center";
    if (facts.strokes.length > 0) this.#phases(pen, palette, density, top, xOf, from);
    else this.#seconds(pen, palette, top, xOf, from, to);
    if (this.moment) this.#playhead(pen, palette, xOf(this.moment.position));
  }

  /**
   * @param {CanvasRenderingContext2D} pen
   * @param {Record<string, string>} palette
   * @param {number} density
   * @param {import("./shapes.js").LaneStretch[]} stretches
   * @param {number} top
   * @param {(position: number) => number} xOf
   */
  #lane(pen, palette, density, stretches, top, xOf) {
    pen.fillStyle = palette["surface-sunken"];
    pen.fillRect(this.#left, top, this.#right - this.#left, LANE);
    for (const { from, to, arms } of stretches) {
      const left = Math.max(xOf(from), this.#left);
      const right = Math.min(xOf(to), this.#right);
      const across = right - left;
      if (arms === "none") {
        pen.fillStyle = palette["drive-none"];
        pen.fillRect(left, top, across, LANE);
        pen.strokeStyle = palette.drive;
        pen.lineWidth = 1.5;
        pen.setLineDash([4, 3]);
        pen.strokeRect(left + 1, top + 1, Math.max(across - 2, 0.5), LANE - 2);
        pen.setLineDash([]);
        continue;
      }
      pen.fillStyle = arms === "both" ? textureFill(pen, "cross", palette["surface-raised"], palette.drive, density) : palette.drive;
      pen.fillRect(left, top, across, LANE);
      if (arms === "both") continue;
      // Which arm: a strip at the upper edge for the left, at the lower for the right, as on the roll.
      const edge = arms === "left" ? top : top + LANE - 6;
      pen.fillStyle = palette[`arm-${arms}`];
      pen.fillRect(left, edge, across, 6);
      pen.fillStyle = palette["surface-raised"];
      pen.fillRect(left, arms === "left" ? edge + 6 : edge - 1.5, across, 1.5);
    }
  }

  /**
   * @param {CanvasRenderingContext2D} pen
   * @param {Record<string, string>} palette
   * @param {number} density
   * @param {number} top
   * @param {(position: number) => number} xOf
   * @param {number} from
   */
  #phases(pen, palette, density, top, xOf, from) {
    const ink = palette[`arm-${this.side ?? "left"}`];
    const ground = palette[`arm-${this.side ?? "left"}-soft`];
    const bars = AXIS - 22;
    PHASES.forEach((phase, index) => {
      const left = xOf(from + index);
      const across = xOf(from + index + 1) - left;
      const now = this.moment?.phase === phase;
      const tall = Math.max(PHASE_HEIGHT[phase] * bars, 4);
      pen.fillStyle = textureFill(pen, PHASE_TEXTURE[phase], ink, ground, density);
      pen.fillRect(left + 1, top + 22 + bars - tall, across - 2, tall);
      pen.strokeStyle = ink;
      pen.lineWidth = 1;
      pen.strokeRect(left + 1.5, top + 22.5 + bars - tall, across - 3, Math.max(tall - 1, 1));
      pen.fillStyle = now ? palette.ink : palette["ink-soft"];
      const weight = now ? 700 : 500;
      pen.font = pen.font.replace(/^\d+/, String(weight));
      const room = across - 6;
      const name = pen.measureText(words.phase[phase]).width <= room ? words.phase[phase] : words.phase_short[phase];
      pen.fillText(fitted(pen, name, room), left + across / 2, top + 11);
    });
  }

  /**
   * @param {CanvasRenderingContext2D} pen
   * @param {Record<string, string>} palette
   * @param {number} top
   * @param {(position: number) => number} xOf
   * @param {number} from
   * @param {number} to
   */
  #seconds(pen, palette, top, xOf, from, to) {
    const room = (xOf(to) - xOf(from)) / (to - from);
    const step = [0.1, 0.2, 0.5, 1, 2, 5].find((seconds) => seconds * room >= 56) ?? 10;
    pen.fillStyle = palette["ink-soft"];
    pen.strokeStyle = palette["line-strong"];
    pen.lineWidth = 1;
    for (let tick = Math.ceil(from / step); tick * step <= to; tick += 1) {
      const x = xOf(tick * step);
      pen.beginPath();
      pen.moveTo(x, top + 24);
      pen.lineTo(x, top + (tick === 0 ? AXIS : 34));
      pen.stroke();
      pen.fillText(words.seconds(tick * step, step < 1 ? 1 : 0), x, top + 11);
    }
  }

  /** @param {CanvasRenderingContext2D} pen @param {Record<string, string>} palette @param {number} x */
  #playhead(pen, palette, x) {
    const inside = Math.min(Math.max(x, this.#left), this.#right);
    const bottom = HEIGHT - KNOB - 3;
    // The names between the lanes and the phases stay to be read.
    const lanes = 2 * (LANE + GAP) - 1;
    for (const [ink, wide] of /** @type {const} */ ([["surface", 5], ["ink", 2.5]])) {
      pen.fillStyle = palette[ink];
      pen.fillRect(inside - wide / 2, 0, wide, lanes);
      pen.fillRect(inside - wide / 2, lanes + 23, wide, bottom - lanes - 23);
    }
    pen.beginPath();
    pen.arc(inside, bottom, KNOB, 0, 2 * Math.PI);
    pen.fill();
    pen.strokeStyle = palette.surface;
    pen.lineWidth = 2;
    pen.stroke();
  }
}

/** @param {CanvasRenderingContext2D} pen @param {string} text @param {number} room */
function fitted(pen, text, room) {
  if (pen.measureText(text).width <= room) return text;
  let kept = text;
  while (kept.length > 1 && pen.measureText(`${kept}…`).width > room) kept = kept.slice(0, -1);
  return `${kept}…`;
}
