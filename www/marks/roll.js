// The stroke roll: the drawing of what both arms, the breath and the legs do over time, and the hands on it.
//
// Draws only what is visible, at most once per screen frame. Not for: deciding anything; what the hands ask
// for goes to the view through callbacks.

import {
  RULER_HEIGHT, RollWindow, SIGN_HEIGHT, laneOf, lanesOf, markHit, rulerStep, signY,
} from "./roll-geometry.js";
import { drawSign } from "./signs.js";
import { PHASES, PHASE_HEIGHT, PHASE_TEXTURE, paletteOf, textureFill } from "./textures.js";
import { RollHands } from "./roll-hands.js";

/** @typedef {import("./roll-geometry.js").RollModel} RollModel */
/** @typedef {import("./roll-geometry.js").LaneName} LaneName */
/** @typedef {import("./roll-geometry.js").Lane} Lane */
/** @typedef {import("./clip-clock.js").ClipClock} ClipClock */
/** @typedef {import("./shapes.js").MarkShown} MarkShown */
/** @typedef {import("./shapes.js").DriveStretch} DriveStretch */
/** @typedef {import("./shapes.js").Phase} Phase */

/**
 * What the hands on the roll ask for.
 * @typedef {object} Wishes
 * @property {(frame: number) => void} jog show this frame
 * @property {(mark: MarkShown) => void} select
 * @property {() => boolean} canMove whether marks can be moved now; a drag of one is a jog otherwise
 * @property {(mark: MarkShown, frame: number) => void} move
 * @property {() => void} zoomed
 */

/** Below this many pixels a second textures and words only blur. */
const DETAIL_FROM = 40;
const FONT_SMALL = 14;

export class Roll {
  /**
   * @param {HTMLCanvasElement} canvas
   * @param {typeof import("../words/marks.js").marks} words
   * @param {Wishes} wishes
   */
  constructor(canvas, words, wishes) {
    this.canvas = canvas;
    this.words = words;
    this.wishes = wishes;
    this.pen = /** @type {CanvasRenderingContext2D} */ (canvas.getContext("2d", { alpha: false }));
    /** @type {RollModel | null} */
    this.model = null;
    /** @type {ClipClock | null} */
    this.clock = null;
    /** @type {RollWindow | null} */
    this.window = null;
    this.playhead = { frame: 0, ticks: 0 };
    /** Where the roll is held by a finger, ticks; it may be ahead of the frame shown. @type {number | null} */
    this.held = null;
    /** A mark on its way to another frame under the pointer. @type {{id: number, ticks: number} | null} */
    this.carried = null;
    /** @type {number | null} */
    this.selected = null;
    /** Where the guided pass proposes its mark. @type {{lane: LaneName, ticks: number} | null} */
    this.proposal = null;
    /** Said on the roll while there is no mark. */
    this.hint = "";
    /** The same where there is little room. */
    this.hintShort = "";
    /** @type {"roll" | "playhead"} */
    this.motion = "roll";
    this.width = 0;
    this.height = 0;
    this.density = 1;
    this.waiting = 0;
    this.palette = paletteOf(canvas);
    /** @type {Map<string, CanvasPattern | string>} */
    this.fills = new Map();
    this.font = getComputedStyle(canvas).fontFamily;
    this.watching = new ResizeObserver(() => this.#resize());
    this.watching.observe(canvas);
    this.hands = new RollHands(this);
  }

  close() {
    this.watching.disconnect();
    this.hands.close();
    cancelAnimationFrame(this.waiting);
  }

  /** Room for the lanes' names. */
  get gutter() {
    return this.width < 600 ? 52 : 84;
  }

  /** Another clip, or another rate: the zoom stays where it was. @param {ClipClock} clock */
  setClock(clock) {
    const zoom = this.window?.zoom;
    this.clock = clock;
    this.window = null;
    if (this.width > 0) this.#makeWindow();
    if (zoom !== undefined) this.#window()?.setZoom(zoom);
    this.invalidate();
  }

  #makeWindow() {
    if (this.clock) this.window = new RollWindow(this.clock, Math.max(this.width - this.gutter, 1));
  }

  #window() {
    return this.window;
  }

  /** Reads the theme again. */
  restyle() {
    this.palette = paletteOf(this.canvas);
    this.font = getComputedStyle(this.canvas).fontFamily;
    this.fills.clear();
    this.invalidate();
  }

  invalidate() {
    this.waiting ||= requestAnimationFrame(() => {
      this.waiting = 0;
      this.draw();
      this.canvas.dispatchEvent(new Event("drawn"));
    });
  }

  #resize() {
    const { clientWidth, clientHeight } = this.canvas;
    this.density = window.devicePixelRatio || 1;
    this.width = clientWidth;
    this.height = clientHeight;
    this.canvas.width = Math.max(Math.round(clientWidth * this.density), 1);
    this.canvas.height = Math.max(Math.round(clientHeight * this.density), 1);
    this.fills.clear();
    if (this.window) this.window.resize(Math.max(this.width - this.gutter, 1));
    else if (this.width > 0) this.#makeWindow();
    // The backing store was just emptied: draw in this same frame, or the roll blinks.
    this.draw();
  }

  /** Brings the window to the playhead, by whichever of the two moves. */
  place() {
    // Under a carried sign the roll stands still, or the sign would run from the hand.
    if (!this.window || this.carried) return;
    if (this.motion === "roll") this.window.centre(this.held ?? this.playhead.ticks);
    else if (this.held === null) this.window.follow(this.playhead.ticks);
  }

  draw() {
    const { pen, palette, window: view, clock } = this;
    pen.setTransform(this.density, 0, 0, this.density, 0, 0);
    pen.fillStyle = palette["surface-raised"];
    pen.fillRect(0, 0, this.width, this.height);
    if (!view || !clock || this.height < 60) return;
    this.place();
    const lanes = lanesOf(this.height);
    pen.save();
    pen.beginPath();
    pen.rect(this.gutter, 0, this.width - this.gutter, this.height);
    pen.clip();
    pen.translate(this.gutter, 0);
    const from = view.timeAt(0);
    const to = view.timeAt(view.width);
    this.#ground(view, lanes, clock);
    if (this.model) {
      const detail = view.pixelsPerTick * clock.ticksPerSecond >= DETAIL_FROM;
      this.#arm(view, "left", lanes.left, from, to, detail);
      this.#arm(view, "right", lanes.right, from, to, detail);
      this.#drive(view, lanes.drive, from, to, detail);
      this.#breaths(view, lanes.breath, from, to);
      this.#kicks(view, lanes.legs, from, to);
      this.#flags(view, lanes, from, to);
      this.#marks(view, lanes, from, to);
      this.#proposal(view, lanes);
      this.#reasons(view, lanes, from, to);
      if (this.model.marks.items.length === 0) this.#sayHint(lanes.drive);
    }
    this.#playhead(view, clock);
    pen.restore();
    this.#names(lanes);
  }

  /** @param {RollWindow} view @param {Record<LaneName, Lane>} lanes @param {ClipClock} clock */
  #ground(view, lanes, clock) {
    const { pen, palette } = this;
    // Beyond the clip's ends there is nothing to mark.
    pen.fillStyle = palette["surface-sunken"];
    const start = view.xOf(clock.first);
    const end = view.xOf(clock.end);
    if (start > 0) pen.fillRect(0, 0, start, this.height);
    if (end < view.width) pen.fillRect(end, 0, view.width - end, this.height);
    this.#ruler(view, clock);
    pen.fillStyle = palette.line;
    for (const name of /** @type {LaneName[]} */ (["left", "drive", "breath", "legs"])) {
      pen.fillRect(0, Math.round(lanes[name].y) - 0.5, view.width, 1);
    }
    pen.fillStyle = palette["line-strong"];
    pen.fillRect(Math.max(start, 0), Math.round(lanes.right.y) - 0.5, Math.min(end, view.width) - Math.max(start, 0), 1);
  }

  /** @param {RollWindow} view @param {ClipClock} clock */
  #ruler(view, clock) {
    const { pen, palette } = this;
    const pixelsPerSecond = view.pixelsPerTick * clock.ticksPerSecond;
    const step = rulerStep(pixelsPerSecond, 64);
    const digits = step < 0.1 ? 2 : step < 1 ? 1 : 0;
    const first = Math.max(clock.seconds(view.timeAt(0)), clock.seconds(clock.first));
    const last = Math.min(clock.seconds(view.timeAt(view.width)), clock.seconds(clock.end));
    pen.font = `${FONT_SMALL}px ${this.font}`;
    pen.textBaseline = "middle";
    pen.textAlign = "left";
    for (let count = Math.ceil(first / step - 1e-9); count * step <= last; count += 1) {
      const x = view.xOf(count * step * clock.ticksPerSecond);
      pen.fillStyle = palette.line;
      pen.fillRect(Math.round(x) - 0.5, 0, 1, this.height);
      pen.fillStyle = palette["ink-soft"];
      pen.fillText(`${(count * step).toFixed(digits)} s`, x + 4, RULER_HEIGHT / 2);
    }
    const frameWidth = view.pixelsPerTick * clock.medianSpacing;
    if (frameWidth < 6) return;
    const from = clock.frameAt(view.timeAt(0));
    const to = clock.frameAt(view.timeAt(view.width));
    pen.fillStyle = palette["line-strong"];
    for (let frame = from; frame <= to; frame += 1) {
      pen.fillRect(Math.round(view.xOf(clock.ticksOf(frame))) - 0.5, RULER_HEIGHT - 5, 1, 5);
    }
  }

  /**
   * The left arm grows upwards from the line between the two arms, the right one downwards.
   * @param {RollWindow} view @param {"left" | "right"} side @param {Lane} lane @param {number} from @param {number} to @param {boolean} detail
   */
  #arm(view, side, lane, from, to, detail) {
    if (!this.model) return;
    const { pen, palette } = this;
    const ink = palette[`arm-${side}`];
    const soft = palette[`arm-${side}-soft`];
    const room = lane.height - SIGN_HEIGHT - 2;
    const tallOf = (/** @type {Phase} */ phase) => Math.max(room * PHASE_HEIGHT[phase], 3);
    const topOf = (/** @type {number} */ tall) => (side === "left" ? lane.y + lane.height - tall : lane.y + 0.5);
    if (!detail) {
      const visible = [...this.model.phases[side].between(from, to)];
      for (const phase of PHASES) {
        const tall = tallOf(phase);
        this.#columns(view, visible.filter((stretch) => stretch.phase === phase), topOf(tall), tall, phase === "push" ? ink : soft);
      }
      return;
    }
    for (const phase of this.model.phases[side].between(from, to)) {
      const left = view.xOf(phase.start);
      const wide = view.xOf(phase.end) - left;
      const tall = tallOf(phase.phase);
      const top = topOf(tall);
      this.#block(left, top, wide, tall, this.#fill(PHASE_TEXTURE[phase.phase], ink, soft));
      pen.fillStyle = ink;
      pen.fillRect(left, side === "left" ? top : top + tall - 2, wide, 2);
      pen.fillRect(left, top, 1, tall);
      if (wide > 76 && tall > 17 && phase.phase !== "recovery") {
        this.#phaseName(this.words.phase_short[phase.phase], left + wide / 2, top + tall / 2, phase.phase === "push" ? ink : soft, phase.phase === "push" ? soft : ink);
      }
    }
  }

  /** @param {string} text @param {number} x @param {number} y @param {string} ground @param {string} ink */
  #phaseName(text, x, y, ground, ink) {
    const { pen } = this;
    pen.font = `600 ${FONT_SMALL}px ${this.font}`;
    pen.textAlign = "center";
    pen.textBaseline = "middle";
    const wide = pen.measureText(text).width + 8;
    pen.fillStyle = ground;
    pen.fillRect(x - wide / 2, y - 8, wide, 16);
    pen.fillStyle = ink;
    pen.fillText(text, x, y + 0.5);
  }

  /**
   * One band for both arms together: where one propels it is there, where both do it swells, and where neither
   * does there is a hole with its length.
   * @param {RollWindow} view @param {Lane} lane @param {number} from @param {number} to @param {boolean} detail
   */
  #drive(view, lane, from, to, detail) {
    if (!this.model) return;
    const { pen, palette } = this;
    const labelSize = lane.height >= 60 ? 22 : 16;
    const top = lane.y + 4;
    const tall = lane.height - labelSize - 8;
    const bandTop = top + tall * 0.24;
    const bandTall = tall * 0.76;
    const ink = palette.drive;
    let labelFrom = -Infinity;
    const stretches = [...this.model.drive.between(from, to)];
    if (!detail) {
      for (const arms of ["left", "right", "both"]) {
        const alike = stretches.filter((stretch) => stretch.arms === arms);
        this.#columns(view, alike, arms === "both" ? top : bandTop, arms === "both" ? tall : bandTall, ink);
      }
      return;
    }
    for (const [index, stretch] of stretches.entries()) {
      const left = view.xOf(stretch.start);
      const wide = view.xOf(stretch.end) - left;
      if (stretch.arms === "none") {
        this.#hole(stretch, left, bandTop, wide, bandTall);
        const next = stretches.slice(index + 1, index + 6).find((later) => later.arms === "none");
        const roomTo = next ? view.xOf(next.start) : Infinity;
        labelFrom = this.#holeLength(stretch, left + wide / 2, lane.y + lane.height - labelSize / 2 - 2, labelSize, labelFrom, roomTo);
      } else if (stretch.arms === "both") {
        this.#block(left, top, wide, tall, this.#fill("cross", palette["surface-raised"], ink));
        pen.fillStyle = ink;
        pen.fillRect(left, top, wide, 3);
        pen.fillRect(left, top + tall - 3, wide, 3);
      } else {
        this.#block(left, bandTop, wide, bandTall, ink);
        // Which arm: a strip at the upper edge for the left, at the lower for the right, as the lanes lie.
        pen.fillStyle = palette[`arm-${stretch.arms}`];
        const edge = stretch.arms === "left" ? bandTop : bandTop + bandTall - 6;
        pen.fillRect(left, edge, wide, 6);
        pen.fillStyle = palette["surface-raised"];
        pen.fillRect(left, stretch.arms === "left" ? edge + 6 : edge - 1.5, wide, 1.5);
      }
    }
  }

  /** @param {DriveStretch} stretch @param {number} left @param {number} top @param {number} wide @param {number} tall */
  #hole(stretch, left, top, wide, tall) {
    const { pen, palette } = this;
    const breathing = stretch.breathing === true;
    this.#block(left, top, wide, tall, breathing ? this.#fill("rings", palette.breath, palette["drive-none"]) : palette["drive-none"]);
    pen.fillStyle = breathing ? palette.breath : palette.ink;
    const edge = Math.min(3, Math.max(wide / 3, 0.7));
    // Cut off where an arm is not known: no closed edge there, and the length is only "at least".
    if (!stretch.whole) return;
    pen.fillRect(left, top - 4, edge, tall + 8);
    pen.fillRect(left + wide - edge, top - 4, edge, tall + 8);
  }

  /**
   * @param {DriveStretch} stretch @param {number} centre @param {number} y @param {number} size
   * @param {number} roomFrom where the last label ended @param {number} roomTo where the next hole begins
   * @returns {number} where this label ends
   */
  #holeLength(stretch, centre, y, size, roomFrom, roomTo) {
    const { pen, palette, words } = this;
    const ms = String(Math.round(stretch.length_ms));
    const breathing = stretch.breathing === true;
    pen.textAlign = "center";
    pen.textBaseline = "middle";
    pen.font = `700 ${size}px ${this.font}`;
    const short = stretch.whole ? words.roll.hole(ms) : words.roll.hole_at_least(ms);
    const shortWide = pen.measureText(short).width;
    if (centre - shortWide / 2 < roomFrom + 8) return roomFrom;
    pen.fillStyle = breathing ? palette.breath : palette.ink;
    pen.fillText(short, centre, y);
    let end = centre + shortWide / 2;
    // The uncertainty, and the breath in words, where there is room before the next hole's own figure.
    pen.font = `600 ${FONT_SMALL}px ${this.font}`;
    pen.textAlign = "left";
    const error = words.roll.hole_error(String(Math.round(stretch.uncertainty_ms)));
    const rest = breathing ? words.roll.hole_breathing(error) : error;
    for (const text of [rest, error]) {
      const wide = pen.measureText(text).width;
      if (end + 5 + wide + shortWide / 2 + 8 > roomTo) continue;
      pen.fillText(text, end + 5, y + 2);
      end += 5 + wide;
      break;
    }
    return end;
  }

  /** @param {RollWindow} view @param {Lane} lane @param {number} from @param {number} to */
  #breaths(view, lane, from, to) {
    if (!this.model) return;
    const { pen, palette } = this;
    const middle = lane.y + lane.height / 2;
    pen.fillStyle = palette.breath;
    for (const breath of this.model.breaths.between(from, to)) {
      const stretch = (/** @type {number | null} */ start, /** @type {number | null} */ end, /** @type {number} */ tall) => {
        if (start === null || end === null || end < start) return;
        const left = view.xOf(start);
        pen.fillRect(left, middle - tall / 2, Math.max(view.xOf(end) - left, 1), tall);
      };
      // Bubbles are a thin line, the head turning a thicker one, the open mouth the full band.
      stretch(breath.exhale_start, breath.mouth_clear ?? breath.face_turn, 2);
      stretch(breath.face_turn, breath.face_return ?? breath.mouth_clear, 5);
      stretch(breath.mouth_clear, breath.face_return, lane.height * 0.42);
    }
  }

  /** @param {RollWindow} view @param {Lane} lane @param {number} from @param {number} to */
  #kicks(view, lane, from, to) {
    if (!this.model) return;
    const fill = this.#fill("hatch", this.palette.legs, this.palette["surface-raised"]);
    for (const kick of this.model.kickOuts.between(from, to)) {
      const left = view.xOf(kick.start);
      this.#block(left, lane.y + lane.height * 0.25, view.xOf(kick.end) - left, lane.height * 0.5, fill);
    }
  }

  /** @param {import("./shapes.js").Flag} flag @returns {LaneName} */
  #laneOfFlag(flag) {
    const mark = this.model?.byId.get(flag.marks[0]);
    return mark ? laneOf(mark.kind, mark.side) : "drive";
  }

  /** @param {RollWindow} view @param {Record<LaneName, Lane>} lanes @param {number} from @param {number} to */
  #flags(view, lanes, from, to) {
    if (!this.model) return;
    const { pen, palette } = this;
    for (const flag of this.model.flags.between(from, to)) {
      const lane = lanes[this.#laneOfFlag(flag)];
      const left = view.xOf(flag.start);
      const wide = Math.max(view.xOf(flag.end) - left, 3);
      pen.globalAlpha = 0.55;
      this.#block(left, lane.y + 1, wide, lane.height - 2, this.#fill("stripes", palette.flag, palette["flag-soft"]));
      pen.globalAlpha = 1;
      pen.strokeStyle = palette.flag;
      pen.lineWidth = 2;
      pen.strokeRect(left, lane.y + 2, wide, lane.height - 4);
    }
  }

  /** The reasons in words, over everything else in their lane. @param {RollWindow} view @param {Record<LaneName, Lane>} lanes @param {number} from @param {number} to */
  #reasons(view, lanes, from, to) {
    if (!this.model) return;
    const { pen, palette } = this;
    /** @type {Partial<Record<LaneName, number>>} */
    const written = {};
    for (const flag of this.model.flags.between(from, to)) {
      const name = this.#laneOfFlag(flag);
      const x = Math.max(view.xOf(flag.start) + 5, 4);
      if (x < (written[name] ?? -Infinity)) continue;
      pen.font = `650 ${FONT_SMALL}px ${this.font}`;
      pen.textAlign = "left";
      pen.textBaseline = "middle";
      const wide = pen.measureText(flag.message).width + 24;
      const y = lanes[name].y + lanes[name].height / 2;
      pen.fillStyle = palette["flag-soft"];
      pen.fillRect(x, y - 10, wide, 20);
      pen.strokeStyle = palette.flag;
      pen.lineWidth = 1.5;
      pen.strokeRect(x, y - 10, wide, 20);
      pen.fillStyle = palette.flag;
      pennant(pen, x + 7, y);
      pen.fillText(flag.message, x + 20, y + 0.5);
      written[name] = x + wide + 6;
    }
  }

  /** @param {RollWindow} view @param {Record<LaneName, Lane>} lanes @param {number} from @param {number} to @returns {void} */
  #marks(view, lanes, from, to) {
    if (!this.model) return;
    const { pen, palette } = this;
    const margin = 10 / view.pixelsPerTick;
    /** Last place taken per lane: what falls on one pixel is drawn once. @type {Partial<Record<LaneName, number>>} */
    const taken = {};
    const spacing = view.pixelsPerTick * view.clock.ticksPerSecond;
    // A stroke each would only be a grey wall from far away.
    if (spacing < DETAIL_FROM / 4 && this.selected === null) return;
    const half = spacing >= 100 ? 5 : spacing >= DETAIL_FROM ? 4 : 0;
    /** @type {Iterable<MarkShown>} */
    const visible = this.model.marks.between(from - margin, to + margin);
    for (const mark of visible) {
      const name = laneOf(mark.kind, mark.side);
      const time = this.carried?.id === mark.id ? this.carried.ticks : mark.time;
      const x = view.xOf(time);
      const chosen = mark.id === this.selected;
      if (!chosen && x - (taken[name] ?? -Infinity) < 1) continue;
      taken[name] = x;
      const lane = lanes[name];
      const ink = mark.flags.length > 0 ? palette.flag : this.#inkOf(name);
      pen.fillStyle = ink;
      pen.fillRect(x - 0.75, lane.y + 1, 1.5, lane.height - 2);
      if (chosen) this.#chosen(x, signY(name, lane));
      if (half > 0 || chosen) drawSign(pen, mark, x, signY(name, lane), chosen ? 6 : half, ink, palette["surface-raised"]);
    }
  }

  /** @param {LaneName} name */
  #inkOf(name) {
    if (name === "left" || name === "right") return this.palette[`arm-${name}`];
    return name === "breath" ? this.palette.breath : this.palette.legs;
  }

  /** @param {number} x @param {number} y */
  #chosen(x, y) {
    const { pen, palette } = this;
    pen.fillStyle = palette.focus;
    pen.fillRect(x - 1, RULER_HEIGHT, 2, this.height - RULER_HEIGHT);
    pen.beginPath();
    pen.arc(x, y, 12, 0, 2 * Math.PI);
    pen.fillStyle = palette["surface-raised"];
    pen.fill();
    pen.lineWidth = 3;
    pen.strokeStyle = palette.focus;
    pen.stroke();
  }

  /** @param {RollWindow} view @param {Record<LaneName, Lane>} lanes */
  #proposal(view, lanes) {
    if (!this.proposal) return;
    const { pen, palette } = this;
    const lane = lanes[this.proposal.lane];
    const x = view.xOf(this.proposal.ticks);
    pen.strokeStyle = palette.accent;
    pen.lineWidth = 2;
    pen.setLineDash([4, 3]);
    pen.strokeRect(x - 7, lane.y + 2, 14, lane.height - 4);
    pen.setLineDash([]);
  }

  /** @param {Lane} lane */
  #sayHint(lane) {
    const { pen, palette } = this;
    pen.font = `600 16px ${this.font}`;
    pen.textAlign = "center";
    pen.textBaseline = "middle";
    pen.fillStyle = palette["ink-soft"];
    const room = this.width - this.gutter;
    const text = pen.measureText(this.hint).width + 16 < room ? this.hint : this.hintShort;
    pen.fillText(text, room / 2, lane.y + lane.height / 2);
  }

  /** @param {RollWindow} view @param {ClipClock} clock */
  #playhead(view, clock) {
    const { pen, palette } = this;
    const x = view.xOf(this.motion === "roll" && this.held !== null ? this.held : this.playhead.ticks);
    const frameWide = clock.spacingOf(this.playhead.frame) * view.pixelsPerTick;
    // The frame stands for this long: a mark made on it is that uncertain.
    if (frameWide > 3) {
      pen.globalAlpha = 0.18;
      pen.fillStyle = palette.accent;
      pen.fillRect(x, RULER_HEIGHT, frameWide, this.height - RULER_HEIGHT);
      pen.globalAlpha = 1;
    }
    pen.fillStyle = palette["surface-raised"];
    pen.fillRect(x - 2.5, RULER_HEIGHT, 5, this.height);
    pen.fillStyle = palette.accent;
    pen.fillRect(x - 1.5, RULER_HEIGHT - 4, 3, this.height);
    pen.font = `650 ${FONT_SMALL}px ${this.font}`;
    pen.textAlign = "center";
    pen.textBaseline = "middle";
    const text = String(this.playhead.frame);
    const wide = pen.measureText(text).width + 14;
    const left = Math.min(Math.max(x - wide / 2, 0), view.width - wide);
    pen.beginPath();
    pen.roundRect(left, 1, wide, RULER_HEIGHT - 3, 4);
    pen.fill();
    pen.fillStyle = palette["accent-ink"];
    pen.fillText(text, left + wide / 2, RULER_HEIGHT / 2);
  }

  /** @param {Record<LaneName, Lane>} lanes */
  #names(lanes) {
    const { pen, palette, gutter } = this;
    const names = gutter < 80 ? this.words.lanes_short : this.words.lanes;
    pen.fillStyle = palette["surface-raised"];
    pen.fillRect(0, 0, gutter, this.height);
    pen.fillStyle = palette["line-strong"];
    pen.fillRect(gutter - 1, 0, 1, this.height);
    pen.textBaseline = "middle";
    pen.textAlign = "left";
    for (const [name, lane] of /** @type {[LaneName, Lane][]} */ (Object.entries(lanes))) {
      pen.font = `${name === "drive" ? 700 : 600} ${name === "drive" && gutter >= 80 ? 18 : FONT_SMALL}px ${this.font}`;
      pen.fillStyle = name === "drive" ? palette.drive : this.#inkOf(name);
      if (name === "left" || name === "right") pen.fillRect(0, lane.y + 2, 5, lane.height - 4);
      pen.fillText(names[name], 10, lane.y + lane.height / 2);
    }
  }

  /**
   * Seen from far away: stretches of one kind in whole pixels, each at least one wide; what touches is drawn as one.
   * @param {RollWindow} view @param {readonly {start: number, end: number}[]} stretches in the order of time
   * @param {number} top @param {number} tall @param {string} colour
   */
  #columns(view, stretches, top, tall, colour) {
    const { pen } = this;
    pen.fillStyle = colour;
    let from = 0;
    let to = -Infinity;
    const fill = () => {
      if (to > from) pen.fillRect(from, Math.round(top), to - from, Math.round(tall));
    };
    for (const { start, end } of stretches) {
      const left = Math.round(view.xOf(start));
      const right = Math.max(Math.round(view.xOf(end)), left + 1);
      if (left > to) {
        fill();
        from = left;
      }
      to = Math.max(to, right);
    }
    fill();
  }

  /**
   * A filled stretch whose texture is tied to its own start, so that it moves with the roll.
   * @param {number} left @param {number} top @param {number} wide @param {number} tall @param {CanvasPattern | string} fill
   */
  #block(left, top, wide, tall, fill) {
    const { pen } = this;
    pen.fillStyle = fill;
    if (typeof fill === "string") {
      pen.fillRect(left, top, Math.max(wide, 0.7), tall);
      return;
    }
    pen.save();
    pen.translate(left, top);
    pen.fillRect(0, 0, Math.max(wide, 0.7), tall);
    pen.restore();
  }

  /** @param {import("./textures.js").Texture} texture @param {string} ink @param {string} ground */
  #fill(texture, ink, ground) {
    const name = `${texture} ${ink} ${ground}`;
    let fill = this.fills.get(name);
    if (fill === undefined) {
      fill = textureFill(this.pen, texture, ink, ground, this.density);
      this.fills.set(name, fill);
    }
    return fill;
  }

  /** The mark under a place on the canvas. @param {{x: number, y: number}} place @param {number} reach */
  markAt(place, reach) {
    if (!this.model || !this.window || place.x < this.gutter) return null;
    return markHit(this.model, this.window, lanesOf(this.height), { x: place.x - this.gutter, y: place.y }, reach);
  }
}

/** @param {CanvasRenderingContext2D} pen @param {number} x @param {number} y */
function pennant(pen, x, y) {
  pen.fillRect(x - 3, y - 7, 2, 14);
  pen.beginPath();
  pen.moveTo(x - 1, y - 7);
  pen.lineTo(x + 8, y - 3.5);
  pen.lineTo(x - 1, y);
  pen.fill();
}
