// Where things lie on the stroke roll: lanes, the map between time and place, what is visible, what was hit.
// Pure: no canvas, no DOM, so that it can be tested by itself.
//
// x and y are CSS pixels on the roll; times are ticks.

/** @typedef {import("./shapes.js").MarkKind} MarkKind */
/** @typedef {import("./shapes.js").Side} Side */
/** @typedef {import("./shapes.js").MarkShown} MarkShown */
/** @typedef {import("./shapes.js").MarkingView} MarkingView */
/** @typedef {import("./clip-clock.js").ClipClock} ClipClock */

/** @typedef {"left" | "right" | "drive" | "breath" | "legs"} LaneName */
/** @typedef {{y: number, height: number}} Lane */

export const RULER_HEIGHT = 22;
/** Room for the marks' signs at the outer edge of an arm's lane. */
export const SIGN_HEIGHT = 13;
/** Closest: a frame is this wide. */
const WIDEST_FRAME = 28;

/** Share of the height below the ruler. @type {readonly [LaneName, number][]} */
const LANE_SHARES = [["left", 0.215], ["right", 0.215], ["drive", 0.33], ["breath", 0.12], ["legs", 0.12]];

/** @param {number} height @returns {Record<LaneName, Lane>} */
export function lanesOf(height) {
  const room = Math.max(height - RULER_HEIGHT, 0);
  /** @type {Partial<Record<LaneName, Lane>>} */
  const lanes = {};
  let y = RULER_HEIGHT;
  for (const [name, share] of LANE_SHARES) {
    lanes[name] = { y, height: room * share };
    y += room * share;
  }
  return /** @type {Record<LaneName, Lane>} */ (lanes);
}

/** The lane that a mark stands in. @param {MarkKind} kind @param {Side | null} side @returns {LaneName} */
export function laneOf(kind, side) {
  switch (kind) {
    case "entry":
    case "catch":
    case "mid_pull":
    case "exit":
      return side === "right" ? "right" : "left";
    case "exhale_start":
    case "face_turn":
    case "mouth_clear":
    case "face_return":
      return "breath";
    default:
      return "legs";
  }
}

/** What part of the clip the roll shows. */
export class RollWindow {
  /** @param {ClipClock} clock @param {number} width of the part right of the lane names */
  constructor(clock, width) {
    this.clock = clock;
    this.width = width;
    this.pixelsPerTick = 1;
    /** Time at the left edge, ticks; fractional while the roll is dragged. */
    this.left = clock.first;
    this.showSeconds(4);
  }

  get #least() {
    return this.width / (this.clock.end - this.clock.first);
  }

  get #most() {
    return Math.max(WIDEST_FRAME / this.clock.medianSpacing, this.#least);
  }

  /** Seconds across the roll. */
  get secondsAcross() {
    return this.clock.seconds(this.width / this.pixelsPerTick);
  }

  /** 0 for the whole clip … 1 for the closest; each step of it multiplies alike. */
  get zoom() {
    const span = Math.log(this.#most / this.#least);
    return span > 0 ? Math.log(this.pixelsPerTick / this.#least) / span : 0;
  }

  /** @param {number} zoom 0 … 1 @param {number} [at] the time that stays where it is, ticks */
  setZoom(zoom, at = this.timeAt(this.width / 2)) {
    const span = Math.log(this.#most / this.#least);
    this.setScale(this.#least * Math.exp(span * Math.min(Math.max(zoom, 0), 1)), at);
  }

  /** @param {number} pixelsPerTick @param {number} at the time that stays where it is, ticks */
  setScale(pixelsPerTick, at) {
    const x = this.xOf(at);
    this.pixelsPerTick = Math.min(Math.max(pixelsPerTick, this.#least), this.#most);
    this.left = at - x / this.pixelsPerTick;
  }

  /** @param {number} factor above 1 is closer @param {number} at ticks */
  zoomBy(factor, at) {
    this.setScale(this.pixelsPerTick * factor, at);
  }

  /** @param {number} seconds @param {number} [at] ticks */
  showSeconds(seconds, at = this.left) {
    this.setScale(this.width / (seconds * this.clock.ticksPerSecond), at);
  }

  /** Another width keeps the scale, and the time in the middle. @param {number} width */
  resize(width) {
    const middle = this.timeAt(this.width / 2);
    this.width = width;
    this.pixelsPerTick = Math.min(Math.max(this.pixelsPerTick, this.#least), this.#most);
    this.left = middle - width / 2 / this.pixelsPerTick;
  }

  /** @param {number} ticks */
  centre(ticks) {
    this.left = ticks - this.width / 2 / this.pixelsPerTick;
  }

  /** Turns the page when a time has left the middle four fifths, and never shows more void than it must. @param {number} ticks */
  follow(ticks) {
    const x = this.xOf(ticks);
    const span = this.width / this.pixelsPerTick;
    if (x < this.width * 0.1) this.left = ticks - span * 0.25;
    else if (x > this.width * 0.9) this.left = ticks - span * 0.75;
    this.left = Math.max(Math.min(this.left, this.clock.end - span), this.clock.first);
  }

  /** @param {number} ticks */
  xOf(ticks) {
    return (ticks - this.left) * this.pixelsPerTick;
  }

  /** @param {number} x */
  timeAt(x) {
    return this.left + x / this.pixelsPerTick;
  }
}

/**
 * A list of stretches or points in the order of their time, from which the visible part is cut in log n.
 * @template T
 */
export class Track {
  /**
   * @param {readonly T[]} items
   * @param {(item: T) => number} start ticks
   * @param {(item: T) => number} end ticks
   */
  constructor(items, start, end) {
    this.of = items;
    this.items = [...items].sort((a, b) => start(a) - start(b));
    this.start = start;
    this.end = end;
    this.longest = this.items.reduce((most, item) => Math.max(most, end(item) - start(item)), 0);
  }

  /** Index of the first item that starts at or after a time. @param {number} ticks */
  firstFrom(ticks) {
    let low = 0;
    let high = this.items.length;
    while (low < high) {
      const middle = (low + high) >> 1;
      if (this.start(this.items[middle]) < ticks) low = middle + 1;
      else high = middle;
    }
    return low;
  }

  /** Everything that reaches into a span of time. @param {number} from @param {number} to @returns {Generator<T>} */
  *between(from, to) {
    for (let index = this.firstFrom(from - this.longest); index < this.items.length; index += 1) {
      const item = this.items[index];
      if (this.start(item) > to) return;
      if (this.end(item) >= from) yield item;
    }
  }

  /** The stretch that covers a time: start ≤ time < end. @param {number} ticks @returns {T | null} */
  at(ticks) {
    for (let index = this.firstFrom(ticks + 1) - 1; index >= 0; index -= 1) {
      const item = this.items[index];
      if (ticks - this.start(item) > this.longest) return null;
      if (this.end(item) > ticks) return item;
    }
    return null;
  }
}

/** What the roll draws, in the order of time. */
export class RollModel {
  /**
   * @param {MarkingView} view
   * @param {RollModel | null} [before] the model of the view before: what has not changed since is taken from it
   */
  constructor(view, before = null) {
    const { analysis, marks } = view;
    /**
     * @template T
     * @param {Track<T> | undefined} known
     * @param {readonly T[]} items
     * @param {(item: T) => number} start
     * @param {(item: T) => number} end
     */
    const track = (known, items, start, end) => (known?.of === items ? known : new Track(items, start, end));
    const arm = (/** @type {Side} */ side) => analysis.arms.find((timeline) => timeline.side === side);
    const { phases, cycles } = before ?? {};
    /** @type {Record<"left" | "right", Track<import("./shapes.js").PhaseStretch>>} */
    this.phases = {
      left: track(phases?.left, arm("left")?.phases ?? [], stretchStart, stretchEnd),
      right: track(phases?.right, arm("right")?.phases ?? [], stretchStart, stretchEnd),
    };
    /** @type {Record<"left" | "right", Track<import("./shapes.js").Cycle>>} */
    this.cycles = {
      left: track(cycles?.left, arm("left")?.cycles ?? [], stretchStart, stretchEnd),
      right: track(cycles?.right, arm("right")?.cycles ?? [], stretchStart, stretchEnd),
    };
    this.drive = track(before?.drive, analysis.drive, stretchStart, stretchEnd);
    this.breaths = new Track(analysis.breaths.filter((breath) => timesOf(breath).length > 0), breathStart, breathEnd);
    const kickOuts = analysis.kick_outs.flatMap(({ start, end }) => (start === null || end === null ? [] : [{ start, end }]));
    this.kickOuts = new Track(kickOuts, stretchStart, stretchEnd);
    this.flags = track(before?.flags, analysis.flags, stretchStart, stretchEnd);
    this.marks = track(before?.marks, marks, markTime, markTime);
    /** @type {Map<number, MarkShown>} */
    this.byId = namesOf(marks, before);
  }

  /** The mark before or after a time, or beside the selected one of several on one frame. @param {number} ticks @param {number | null} selected @param {1 | -1} way */
  neighbour(ticks, selected, way) {
    const { items } = this.marks;
    const held = selected === null ? -1 : items.findIndex((mark) => mark.id === selected && mark.time === ticks);
    if (held >= 0) return items[held + way] ?? null;
    return way > 0 ? items[this.marks.firstFrom(ticks + 1)] ?? null : items[this.marks.firstFrom(ticks) - 1] ?? null;
  }
}

/**
 * The marks by their ids; those of the model before where they are the same.
 * @param {MarkShown[]} marks
 * @param {RollModel | null} before
 * @returns {Map<number, MarkShown>}
 */
function namesOf(marks, before) {
  return before && before.marks.of === marks ? before.byId : new Map(marks.map((mark) => [mark.id, mark]));
}

/** @param {{start: number}} stretch */
function stretchStart({ start }) {
  return start;
}

/** @param {{end: number}} stretch */
function stretchEnd({ end }) {
  return end;
}

/** @param {MarkShown} mark */
function markTime({ time }) {
  return time;
}

/** @param {import("./shapes.js").Breath} breath @returns {number[]} */
function timesOf(breath) {
  return /** @type {number[]} */ ([breath.exhale_start, breath.face_turn, breath.mouth_clear, breath.face_return]
    .filter((time) => time !== null));
}

/** @param {import("./shapes.js").Breath} breath */
function breathStart(breath) {
  return Math.min(...timesOf(breath));
}

/** @param {import("./shapes.js").Breath} breath */
function breathEnd(breath) {
  return Math.max(...timesOf(breath));
}

/** Where a mark's sign stands within its lane. @param {LaneName} name @param {Lane} lane */
export function signY(name, lane) {
  if (name === "left") return lane.y + SIGN_HEIGHT / 2;
  if (name === "right") return lane.y + lane.height - SIGN_HEIGHT / 2;
  return lane.y + lane.height / 2;
}

/**
 * The mark nearest to a place, within `reach`.
 * @param {RollModel} model
 * @param {RollWindow} window
 * @param {Record<LaneName, Lane>} lanes
 * @param {{x: number, y: number}} place
 * @param {number} reach CSS pixels
 */
export function markHit(model, window, lanes, place, reach) {
  let nearest = null;
  let least = reach;
  for (const mark of model.marks.between(window.timeAt(place.x - reach), window.timeAt(place.x + reach))) {
    const lane = lanes[laneOf(mark.kind, mark.side)];
    if (place.y < lane.y - 2 || place.y > lane.y + lane.height + 2) continue;
    const distance = Math.abs(window.xOf(mark.time) - place.x);
    if (distance < least) {
      least = distance;
      nearest = mark;
    }
  }
  return nearest;
}

/** A step of the ruler that leaves at least `room` pixels between two labels. @param {number} pixelsPerSecond @param {number} room */
export function rulerStep(pixelsPerSecond, room) {
  for (const step of [0.01, 0.02, 0.05, 0.1, 0.2, 0.5, 1, 2, 5, 10, 15, 30, 60, 120, 300]) {
    if (step * pixelsPerSecond >= room) return step;
  }
  return 600;
}
