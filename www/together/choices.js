// What the coach chose to see together, with sensible choices to begin with, kept while the page is open.
//
// Not for: which frames follow from it (Rust).

import { beforeAndAfter } from "../compare/choice.js";

/** @typedef {import("./shapes.js").Arm} Arm */
/** @typedef {import("./shapes.js").Which} Which */
/** @typedef {import("./shapes.js").TwoPoints} TwoPoints */
/** @typedef {import("./shapes.js").MappedCycle} MappedCycle */
/** @typedef {import("../sitting/store.js").Store} Store */

/** @type {Map<string, Choices>} */
const kept = new Map();

/** The choices of a session; those of last time while the page is open. @param {string} session */
export function choicesOf(session) {
  let choices = kept.get(session);
  if (!choices) {
    choices = new Choices();
    kept.set(session, choices);
  }
  return choices;
}

/** The start of a clip, in place of a mark. */
export const FROM_START = -1;

export class Choices {
  /** First and second clip; the second is null while the session has only one. @type {[number|null, number|null]} */
  clips = [null, null];
  /** @type {"phase"|"time"} */
  by = "phase";
  /** @type {Arm} */
  side = "left";
  /** @type {"one"|"all"} */
  run = "one";
  /** Which cycle of each, by its index. @type {[number, number]} */
  cycles = [0, 0];
  /** By time: from which mark of each. @type {[number, number]} */
  from = [FROM_START, FROM_START];
  /** The clip that steps go through; null: the one with more frames a stroke. @type {Which|null} */
  driving = null;
  rate = 0.25;
  /** Side by side, or the second laid over the first. @type {"beside"|"over"} */
  face = "beside";
  opacity = 0.5;
  /** Where on the common scale was looked at last. @type {number|null} */
  position = null;
  /** Points picked on the first and the second picture; null: fitted. @type {{first: TwoPoints, second: TwoPoints}|null} */
  points = null;
  #known = false;

  /**
   * Makes the choices fit what the session holds now.
   * @param {Store} store
   */
  settle(store) {
    const clips = store.session?.clips ?? [];
    const has = (/** @type {number|null} */ id) => clips.some((clip) => clip.id === id);
    if (!has(this.clips[0]) || !has(this.clips[1])) {
      this.clips = /** @type {[number|null, number|null]} */ (beforeAndAfter(clips).map((clip) => clip?.id ?? null));
      this.points = null;
      this.#known = false;
    }
    const [first, second] = this.clips;
    if (first === null || second === null) return;
    if (!this.#known) {
      this.#known = true;
      this.#begin(store, first, second);
    }
    this.clips.forEach((clip, index) => {
      const cycles = this.cyclesOf(store, index);
      if (cycles.length > 0 && !cycles.some((cycle) => cycle.index === this.cycles[index])) this.cycles[index] = cycles[0].index;
      const marks = store.marking(clip)?.marks ?? [];
      if (this.from[index] !== FROM_START && !marks.some((/** @type {any} */ mark) => mark.id === this.from[index])) this.from[index] = FROM_START;
    });
  }

  /** Whether the arm can hold both clips together. @param {Store} store @param {Arm} side */
  can(store, side) {
    return [0, 1].every((index) => this.cyclesOf(store, index, side).length > 0);
  }

  /**
   * @param {Store} store
   * @param {number} index of the clip
   * @param {Arm} [side]
   * @returns {MappedCycle[]}
   */
  cyclesOf(store, index, side = this.side) {
    const clip = this.clips[index];
    return clip === null ? [] : (store.phaseMap(clip, side)?.cycles ?? []);
  }

  /** @param {Store} store @param {number} index @param {number|null} clip */
  setClip(store, index, clip) {
    this.clips[index] = clip;
    this.points = null;
    this.cycles[index] = this.cyclesOf(store, index)[0]?.index ?? 0;
    this.from[index] = firstEntry(store, clip, this.side);
    if (this.clips[0] === this.clips[1] && this.cycles[0] === this.cycles[1]) this.#second(store);
  }

  /** @param {Store} store @param {Arm} side */
  setSide(store, side) {
    this.side = side;
    this.clips.forEach((clip, index) => {
      this.cycles[index] = this.cyclesOf(store, index)[0]?.index ?? 0;
      this.from[index] = firstEntry(store, clip, side);
    });
    if (this.clips[0] === this.clips[1]) this.#second(store);
  }

  /** As Rust reads it. @param {Store} store */
  choice(store) {
    const from = this.clips.map((clip, index) => timeOf(store, clip, this.from[index]));
    const cycles = this.run === "one" ? { run: "one", cycles: this.cycles } : { run: "all" };
    const lock = this.by === "phase" ? { by: "phase", side: this.side, cycles } : { by: "time", from };
    return { lock, driving: this.driving };
  }

  /** @param {Store} store @param {number} first @param {number} second */
  #begin(store, first, second) {
    const side = /** @type {const} */ (["left", "right"]).find((arm) => this.can(store, arm));
    this.by = "phase";
    this.setSide(store, side ?? "left");
    if (first === second) this.#second(store);
  }

  /** Of one clip twice: its second cycle beside its first. @param {Store} store */
  #second(store) {
    this.cycles[1] = this.cyclesOf(store, 1)[1]?.index ?? this.cycles[1];
  }
}

/** @param {Store} store @param {number|null} clip @param {Arm} side */
function firstEntry(store, clip, side) {
  const marks = clip === null ? [] : (store.marking(clip)?.marks ?? []);
  const entry = marks.find((/** @type {any} */ mark) => mark.kind === "entry" && mark.side === side);
  return entry?.id ?? FROM_START;
}

/** @param {Store} store @param {number|null} clip @param {number} from */
function timeOf(store, clip, from) {
  const mark = (clip === null ? [] : (store.marking(clip)?.marks ?? [])).find((/** @type {any} */ one) => one.id === from);
  return mark?.time ?? store.session?.clips.find((one) => one.id === clip)?.first ?? 0;
}
