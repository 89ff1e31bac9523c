// The open session and one other as a single store to look at, for the comparison's figures: the clips of both go by the
// names that Rust gave them, and nothing can be changed or kept. Not for: drawing, or marking.

import { visits as words } from "../words/visits.js";

/** @typedef {import("../sitting/types.js").ClipView} ClipView */
/** @typedef {import("../sitting/types.js").CycleSet} CycleSet */
/** @typedef {import("../sitting/types.js").SittingHandle} SittingHandle */
/** @typedef {import("./types.js").ClipOfVisit} ClipOfVisit */

export class PairStore {
  readOnly = false;
  #store;
  #other;
  /** @type {Map<string, any>} */
  #derived = new Map();
  #forget = () => this.#derived.clear();

  /**
   * @param {import("../sitting/store.js").Store} store
   * @param {SittingHandle} other   freed by `close`
   */
  constructor(store, other) {
    this.#store = store;
    this.#other = other;
    store.addEventListener("change", this.#forget);
  }

  /** Names the pair: what was chosen for one is found again. */
  get id() {
    return `${this.#store.id} beside ${this.#once("other", () => this.#other.session_view()).id}`;
  }

  /** The clips of both by date, the marked one that is most likely meant of either first. */
  get session() {
    return this.#once("session", () => {
      const open = this.openSession();
      const other = this.#once("other", () => this.#other.session_view());
      const of = (/** @type {ClipOfVisit} */ { name, session, clip, date }) => {
        const view = (session === open.id ? open : other).clips.find((/** @type {ClipView} */ { id }) => id === clip);
        return view && { ...view, id: name, label: words.pair.clip(date, view.label || view.name), of: session, date, isOpen: session === open.id && clip === this.#store.clip_id };
      };
      const clips = this.clips().map(of).filter((/** @type {any} */ clip) => clip !== undefined);
      const first = (/** @type {string} */ session) => {
        const marked = clips.filter((/** @type {any} */ clip) => clip.of === session && clip.cycles_marked > 0);
        return marked.find((/** @type {any} */ clip) => clip.isOpen) ?? marked[0];
      };
      const leading = [first(other.id), first(open.id)].filter((clip) => clip !== undefined).sort((one, next) => one.date.localeCompare(next.date));
      return { id: this.id, athlete: open.athlete, date: open.date, clips: [...leading, ...clips.filter((/** @type {any} */ clip) => !leading.includes(clip))] };
    });
  }

  openSession() {
    return this.#store.openSession();
  }

  /** @returns {ClipOfVisit[]} */
  clips() {
    return this.#once("clips", () => this.#store.clipsBeside(this.#other));
  }

  /** The session and the clip that a name stands for. @param {number} name */
  placeOf(name) {
    return this.clips().find((clip) => clip.name === name) ?? null;
  }

  /** @param {number} name */
  marking(name) {
    return this.#once(`marking ${name}`, () => {
      const place = this.placeOf(name);
      if (!place) return null;
      return place.session === this.#store.id ? this.#store.marking(place.clip) : this.#other.marking_view(place.clip);
    });
  }

  /** @param {CycleSet} before @param {CycleSet} after @param {boolean} paired @param {string[]} kinds */
  comparison(before, after, paired, kinds) {
    const key = `comparison ${JSON.stringify([before, after, paired, kinds])}`;
    return this.#once(key, () => this.#store.comparisonBeside(this.#other, before, after, paired, kinds));
  }

  /**
   * The wheel of a set; null where its clips are of both sessions, of which there is no one mean stroke.
   * @param {CycleSet} set
   * @param {"left"|"right"} near
   * @param {any} gaps
   * @param {object} words
   * @param {string} prefix
   */
  wheelOf(set, near, gaps, words, prefix) {
    return this.#once(`wheel ${JSON.stringify([set, near, prefix])}`, () => {
      const places = set.parts.map((part) => ({ part, place: this.placeOf(part.clip) }));
      const sessions = new Set(places.map(({ place }) => place?.session));
      if (sessions.size !== 1) return null;
      const own = { ...set, parts: places.map(({ part, place }) => ({ ...part, clip: place?.clip ?? part.clip })) };
      return sessions.has(this.#store.id ?? "") ? this.#store.wheelOf(own, near, gaps, words, prefix) : (this.#other.wheel_of_set_svg(own, near, gaps, words, prefix) ?? null);
    });
  }

  close() {
    this.#store.removeEventListener("change", this.#forget);
    this.#other.free();
  }

  /**
   * @template T
   * @param {string} key
   * @param {() => T} compute
   * @returns {T}
   */
  #once(key, compute) {
    if (!this.#derived.has(key)) this.#derived.set(key, compute());
    return this.#derived.get(key);
  }
}
