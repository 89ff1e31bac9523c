// The open session as every view sees it. Commands go in, views come out; between the two stands the wasm sitting,
// which alone changes the document. Not for: drawing, files, or the arithmetic of measures.

import { renewed } from "./marking.js";
import { PageTrouble } from "./trouble.js";

/** @typedef {import("./types.js").Applied} Applied */
/** @typedef {import("./types.js").Playhead} Playhead */
/** @typedef {import("./types.js").Trouble} Trouble */
/** @typedef {import("./types.js").SittingHandle} SittingHandle */
/** @typedef {import("./types.js").SittingMaker} SittingMaker */
/** @typedef {import("./journal.js").Journal} Journal */

/**
 * Whether what was done is on this device's disk.
 * @typedef {{state:"empty"|"saving"|"saved"|"memory_only", trouble: Trouble|null}} Saved
 */

/**
 * Events: `change` (detail: Applied, or null when a session was opened or closed), `clip` (the open clip changed),
 * `playhead`, `saving`, `saved`, `storage-trouble` (detail: Trouble), `read-only`.
 */
export class Store extends EventTarget {
  /** @type {SittingHandle|null} */
  #sitting = null;
  /** @type {Journal|null} */
  #journal = null;
  /** @type {Map<string, any>} */
  #derived = new Map();
  /** What is known of each clip's marking: renewed by what changed, never fetched whole twice. @type {Map<number, import("./marking.js").KnownMarking>} */
  #markings = new Map();
  /** @type {Playhead} */
  #playhead = { frame: 0, ticks: 0, proof: "not_proven" };
  /** @type {Map<number, Playhead>} */
  #playheads = new Map();
  /** @type {number|null} */
  #clip_id = null;
  #readOnly = false;

  /** The session's id, or null while none is open. */
  get id() {
    return this.session?.id ?? null;
  }

  /** The last session view from Rust, or null while no session is open. Computed once per change. */
  get session() {
    return this.#once("session", (sitting) => sitting.session_view());
  }

  /** The session view where there must be one. @throws {PageTrouble} `no_session` */
  openSession() {
    const { session } = this;
    if (!session) {
      throw noSession();
    }
    return session;
  }

  /** The id of the open clip, or null. */
  get clip_id() {
    return this.#clip_id;
  }

  /** The open clip's record as the session view gives it, or null. */
  get clip() {
    return this.session?.clips.find((clip) => clip.id === this.#clip_id) ?? null;
  }

  get readOnly() {
    return this.#readOnly;
  }

  /** @returns {Saved} */
  get saved() {
    return this.#journal ? this.#journal.saved : { state: "empty", trouble: null };
  }

  /** How many changes of this session are on this device's disk. */
  get written() {
    return this.#journal?.written ?? 0;
  }

  get playhead() {
    return this.#playhead;
  }

  /** What undo would take back ("add entry, left"), or null. @returns {string|null} */
  get undoLabel() {
    return this.session?.undo_label ?? null;
  }

  /** @returns {string|null} */
  get redoLabel() {
    return this.session?.redo_label ?? null;
  }

  /**
   * Analysis and marks of the open clip, or of the clip named: `{analysis, marks, cycles_marked}`; null while none is.
   * @param {number|null} [clip]
   */
  marking(clip = this.#clip_id) {
    return clip === null ? null : this.#once(`marking ${clip}`, (sitting) => this.#renewedMarking(clip, sitting));
  }

  /**
   * When each frame of a clip starts, as the session keeps it; the facts of an open file tell the same.
   * @param {number} clip
   * @returns {any} `{first, runs}`
   */
  frameTimes(clip) {
    return this.#once(`frame times ${clip}`, (sitting) => sitting.frame_times(clip));
  }

  /**
   * The cycles of one arm by which a clip can be held together with another.
   * @param {number} clip
   * @param {"left"|"right"} side
   */
  phaseMap(clip, side) {
    return this.#once(`phase map ${clip} ${side}`, (sitting) => sitting.phase_map(clip, side));
  }

  /**
   * Two clips held together, by the marks as they are now. Whoever asks frees it.
   * @param {number} first
   * @param {number} second
   * @param {object} choice  a TogetherChoice
   */
  together(first, second, choice) {
    return this.#open().together(first, second, choice);
  }

  /** Every measure of the open clip, or of the clip named. @param {number|null} [clip] */
  measures(clip = this.#clip_id) {
    return clip === null ? null : this.#once(`measures ${clip}`, (sitting) => sitting.measures(clip));
  }

  /** What the charts of the open clip draw. */
  plots() {
    const clip = this.#clip_id;
    return clip === null ? null : this.#once(`plots ${clip}`, (sitting) => sitting.plots(clip));
  }

  /**
   * The open clip's stroke wheel as SVG; null while the near arm has no whole cycle.
   * @param {"left"|"right"} near the arm whose entry is at twelve o'clock
   * @param {object} words every word that the picture writes
   * @returns {string|null}
   */
  wheel(near, words) {
    const clip = this.#clip_id;
    return clip === null ? null : this.#once(`wheel ${clip} ${near}`, (sitting) => sitting.wheel_svg(clip, near, words) ?? null);
  }

  /**
   * Two sets of cycles compared; null while no session is open.
   * @param {import("./types.js").CycleSet} before
   * @param {import("./types.js").CycleSet} after
   * @param {boolean} paired
   * @param {string[]} kinds   what is asked about; none: everything
   * @returns {import("../compare/types.js").Comparison|null}
   */
  comparison(before, after, paired, kinds) {
    const key = `comparison ${JSON.stringify([before, after, paired, kinds])}`;
    return this.#once(key, (sitting) => sitting.comparison(before, after, paired, kinds));
  }

  /**
   * The mean cycle of a set of cycles as a stroke wheel; null while the near arm has no whole cycle in it.
   * @param {import("./types.js").CycleSet} set
   * @param {"left"|"right"} near
   * @param {Record<"left"|"right", import("../compare/types.js").SetValues|null>} gaps   the set's own, until each arm's catch
   * @param {object} words     every word that the picture writes
   * @param {string} prefix    put before every id of the picture
   * @returns {string|null}
   */
  wheelOf(set, near, gaps, words, prefix) {
    const key = `wheel of ${JSON.stringify([set, near, prefix])}`;
    return this.#once(key, (sitting) => sitting.wheel_of_set_svg(set, near, gaps, words, prefix) ?? null);
  }

  /** The open session as it is now, as this device would keep it. */
  baseOfNow() {
    return this.#open().base_of_now();
  }

  /**
   * The clips of the open session and of another, by the names that a comparison of the two gives them.
   * @param {SittingHandle} other
   * @returns {import("../visits/types.js").ClipOfVisit[]}
   */
  clipsBeside(other) {
    return this.#open().clips_beside(other);
  }

  /**
   * Two sets of cycles of the open session and of another.
   * @param {SittingHandle} other
   * @param {import("./types.js").CycleSet} before   clips by their names of `clipsBeside`
   * @param {import("./types.js").CycleSet} after
   * @param {boolean} paired
   * @param {string[]} kinds   what is asked about; none: everything
   * @returns {import("../compare/types.js").Comparison}
   */
  comparisonBeside(other, before, after, paired, kinds) {
    return this.#open().comparison_beside(other, before, after, paired, kinds);
  }

  /** Every comparison that the session keeps as CSV. */
  comparisonsCsv() {
    return this.#open().comparisons_csv();
  }

  /**
   * A comparison of every measure as CSV.
   * @param {string} title    what it is called; empty: its clips' names
   * @param {import("./types.js").CycleSet} before
   * @param {import("./types.js").CycleSet} after
   * @param {boolean} paired
   */
  comparisonCsv(title, before, after, paired) {
    return this.#open().comparison_csv(title, before, after, paired, []);
  }

  /** The cycle under a time of the open clip; under the playhead unless told. @param {number} [ticks] */
  now(ticks = this.#playhead.ticks) {
    const clip = this.#clip_id;
    return clip === null ? null : this.#once(`now ${clip} ${ticks}`, (sitting) => sitting.now_view(clip, ticks));
  }

  /**
   * What the guided pass asks for next.
   * @param {any[]} skipped  steps that the coach passed over
   * @param {any} [plan]     what the pass goes through; null: the usual plan
   */
  guidedStep(skipped, plan = null) {
    const clip = this.#clip_id;
    return clip === null || !this.#sitting ? null : this.#sitting.guided_step(clip, plan, skipped);
  }

  /** The second markings of the open clip, without their marks. @returns {import("./types.js").RemarkingView[]} */
  remarkings() {
    const clip = this.#clip_id;
    return clip === null ? [] : this.#once(`remarkings ${clip}`, (sitting) => sitting.remarkings(clip)) ?? [];
  }

  /** Where a second marking stands, and what it asks for next. @param {number} remarking @returns {import("./types.js").RemarkPass|null} */
  remarkPass(remarking) {
    return this.#once(`remark pass ${remarking}`, (sitting) => sitting.remark_pass(remarking));
  }

  /** How closely the coach marks again, from all second markings of the session. @returns {import("./types.js").Repeatability|null} */
  repeatability() {
    return this.#once("repeatability", (sitting) => sitting.repeatability());
  }

  /** Whether a file just opened is that clip of the session. @param {number} clip @param {any} facts of the file */
  matchClip(clip, facts) {
    return this.#open().match_clip(clip, facts);
  }

  /** Which clip of the session a file just opened is; null when it is none. @param {any} facts */
  findClip(facts) {
    return this.#open().find_clip(facts) ?? null;
  }

  /** The session file's bytes. */
  toFile() {
    return this.#open().to_file();
  }

  marksCsv() {
    return this.#open().marks_csv();
  }

  measuresCsv() {
    return this.#open().measures_csv();
  }

  remarksCsv() {
    return this.#open().remarks_csv();
  }

  repeatabilityCsv() {
    return this.#open().repeatability_csv();
  }

  /**
   * Takes over an open session. The journal already stands for it on the disk (or says why it cannot).
   * @param {SittingHandle} sitting
   * @param {Journal} journal
   * @param {{readOnly: boolean, clip?: number|null}} how
   */
  take(sitting, journal, { readOnly, clip }) {
    const same = this.id === sitting.session_view().id;
    this.#release();
    this.#sitting = sitting;
    this.#journal = journal;
    this.#readOnly = readOnly;
    if (!same) {
      this.#playheads.clear();
      this.#clip_id = null;
    }
    for (const kind of ["saving", "saved", "storage-trouble"]) {
      journal.addEventListener(kind, this.#passOn);
    }
    const clips = this.openSession().clips.map((record) => record.id);
    const wanted = clip ?? this.#clip_id;
    this.#clip_id = wanted !== null && clips.includes(wanted) ? wanted : (clips[0] ?? null);
    this.#playhead = this.#rememberedPlayhead();
    this.dispatchEvent(new CustomEvent("change", { detail: null }));
    this.dispatchEvent(new CustomEvent("clip"));
    this.dispatchEvent(new CustomEvent("read-only"));
  }

  /** Leaves the session; what was done stays on the disk. */
  close() {
    this.#release();
    this.#clip_id = null;
    this.#playheads.clear();
    this.dispatchEvent(new CustomEvent("change", { detail: null }));
    this.dispatchEvent(new CustomEvent("clip"));
  }

  /** @param {number|null} id */
  openClip(id) {
    if (id === this.#clip_id) {
      return;
    }
    this.#clip_id = id;
    this.#playhead = this.#rememberedPlayhead();
    this.dispatchEvent(new CustomEvent("clip"));
  }

  /**
   * Changes the document. Done when it returns; on the disk when `saved` comes.
   * @param {object} command
   * @returns {Applied}
   */
  apply(command) {
    return this.#changed(this.#writable().apply(command));
  }

  /** @returns {Applied|null} null when there was nothing to take back */
  undo() {
    const applied = this.#writable().undo();
    return applied ? this.#changed(applied) : null;
  }

  /** @returns {Applied|null} */
  redo() {
    const applied = this.#writable().redo();
    return applied ? this.#changed(applied) : null;
  }

  /** @param {Playhead} playhead */
  setPlayhead(playhead) {
    this.#playhead = playhead;
    if (this.#clip_id !== null) {
      this.#playheads.set(this.#clip_id, playhead);
    }
    this.#forget("now ");
    this.dispatchEvent(new CustomEvent("playhead", { detail: playhead }));
  }

  /** Resolves when everything done so far is on the disk; rejects with the Trouble that keeps it from there. */
  async whenSaved() {
    await this.#journal?.whenSaved();
  }

  /** Tries again to write what could not be written. */
  retrySaving() {
    this.#journal?.retry();
  }

  /** @param {Event} event */
  #passOn = (event) => {
    this.dispatchEvent(new CustomEvent(event.type, { detail: /** @type {CustomEvent} */ (event).detail }));
  };

  #release() {
    if (this.#journal) {
      for (const kind of ["saving", "saved", "storage-trouble"]) {
        this.#journal.removeEventListener(kind, this.#passOn);
      }
    }
    const sitting = this.#sitting;
    // The journal still asks the sitting for the list entry while its last lines are on their way.
    this.#journal?.whenSaved().then(
      () => sitting?.free(),
      () => sitting?.free(), // the trouble was shown when it came
    );
    this.#sitting = null;
    this.#journal = null;
    this.#derived.clear();
    this.#markings.clear();
    this.#readOnly = false;
  }

  #open() {
    if (!this.#sitting) {
      throw noSession();
    }
    return this.#sitting;
  }

  #writable() {
    if (this.#readOnly) {
      throw new PageTrouble(
        "read_only",
        "This session is open for marking in another tab, so nothing can be changed here.",
        "Go on in the other tab, or close it: this one takes over by itself.",
      );
    }
    return this.#open();
  }

  /** @param {Applied} applied */
  #changed(applied) {
    this.#derived.clear();
    this.#journal?.append(applied.journal_line);
    const clips = this.openSession().clips.map((record) => record.id);
    const lost = this.#clip_id !== null && !clips.includes(this.#clip_id);
    if (lost || (this.#clip_id === null && clips.length > 0)) {
      this.#clip_id = clips[0] ?? null;
      this.#playhead = this.#rememberedPlayhead();
      this.dispatchEvent(new CustomEvent("clip"));
    }
    this.dispatchEvent(new CustomEvent("change", { detail: applied }));
    return applied;
  }

  #rememberedPlayhead() {
    const remembered = this.#clip_id === null ? undefined : this.#playheads.get(this.#clip_id);
    return remembered ?? /** @type {Playhead} */ ({ frame: 0, ticks: this.clip?.first ?? 0, proof: "not_proven" });
  }

  /** @param {number} clip @param {SittingHandle} sitting */
  #renewedMarking(clip, sitting) {
    const known = this.#markings.get(clip) ?? null;
    const marking = renewed(known, sitting.marking_news(clip, known?.version ?? 0));
    this.#markings.set(clip, marking);
    return marking.view;
  }

  /**
   * @template T
   * @param {string} key
   * @param {(sitting: SittingHandle) => T} compute
   * @returns {T|null}
   */
  #once(key, compute) {
    if (!this.#sitting) {
      return null;
    }
    if (!this.#derived.has(key)) {
      this.#derived.set(key, compute(this.#sitting));
    }
    return this.#derived.get(key);
  }

  /** @param {string} prefix */
  #forget(prefix) {
    for (const key of this.#derived.keys()) {
      if (key.startsWith(prefix)) {
        this.#derived.delete(key);
      }
    }
  }
}

function noSession() {
  return new PageTrouble("no_session", "No session is open.", "Open a session or a clip first.");
}
