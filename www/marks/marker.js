// The coach's changes to marks: each one command to the store and one sentence for the status line.
//
// Not for: which key or button asked.

import { marks as words } from "../words/marks.js";

/** @typedef {import("./shapes.js").MarkKind} MarkKind */
/** @typedef {import("./shapes.js").Side} Side */
/** @typedef {import("./shapes.js").MarkShown} MarkShown */
/** @typedef {import("./shapes.js").MarkingView} MarkingView */
/** @typedef {import("../sitting/types.js").Context} Context */
/** @typedef {import("./jog.js").Jog} Jog */

export class Marker {
  /** @param {Context} context @param {Jog} jog */
  constructor(context, jog) {
    this.context = context;
    this.jog = jog;
    /** The selected mark's id. @type {number | null} */
    this.selected = null;
  }

  /** @returns {MarkShown[]} */
  get all() {
    return this.context.store.marking()?.marks ?? [];
  }

  /** @returns {MarkShown | null} */
  get chosen() {
    return this.all.find((mark) => mark.id === this.selected) ?? null;
  }

  /** Marks the frame shown; answers the new mark's id. @param {MarkKind} kind @param {Side | null} side @returns {number | null} */
  add(kind, side) {
    const shown = this.context.player()?.current;
    if (!shown) {
      this.context.say(words.states.no_frame);
      return null;
    }
    return this.addAt(kind, side, shown.ticks, shown.frame, shown.proof);
  }

  /** @param {MarkKind} kind @param {Side | null} side @param {number} time ticks @param {number} frame @param {string} proof @returns {number | null} */
  addAt(kind, side, time, frame, proof) {
    const what = words.event(kind, side);
    const same = this.all.find((mark) => mark.kind === kind && mark.side === side && mark.time === time);
    if (same) {
      this.context.say(words.said.already(what, frame));
      return same.id;
    }
    const applied = this.#apply({ command: "add_mark", clip: this.context.store.clip_id, kind, side, time, proof });
    if (!applied) return null;
    const id = applied.new_marks[0] ?? null;
    this.#sayWithFlags(words.said.marked(what, frame), id);
    return id;
  }

  /** @param {MarkShown} mark @param {number} time ticks @param {number} frame @param {string} proof */
  move(mark, time, frame, proof) {
    if (mark.time === time) return;
    if (!this.#apply({ command: "move_mark", mark: mark.id, time, proof })) return;
    this.#sayWithFlags(words.said.moved(words.event(mark.kind, mark.side), frame), mark.id);
  }

  /** @param {MarkShown} mark @param {MarkKind} kind @param {Side | null} side */
  retype(mark, kind, side) {
    if (!this.#apply({ command: "retype_mark", mark: mark.id, kind, side })) return;
    this.#sayWithFlags(words.said.retyped(words.event(kind, side)), mark.id);
  }

  /** @param {MarkShown} mark */
  delete(mark) {
    if (!this.#apply({ command: "delete_marks", marks: [mark.id] })) return;
    this.context.say(words.said.deleted(words.event(mark.kind, mark.side), mark.frame));
  }

  /** @param {"undo" | "redo"} way */
  history(way) {
    const { store, say, notify } = this.context;
    try {
      const label = way === "undo" ? store.undoLabel : store.redoLabel;
      if (label === null) {
        say(way === "undo" ? words.said.nothing_to_undo : words.said.nothing_to_redo);
        return;
      }
      store[way]();
      say(way === "undo" ? words.said.undone(label) : words.said.redone(label));
    } catch (error) {
      notify(error);
    }
  }

  /** @param {object} command */
  #apply(command) {
    try {
      return this.context.store.apply(command);
    } catch (error) {
      this.context.notify(error);
      return null;
    }
  }

  /** What was done, and at once what is odd about it. @param {string} done @param {number | null} id */
  #sayWithFlags(done, id) {
    /** @type {MarkingView | null} */
    const view = this.context.store.marking();
    const flag = view?.analysis.flags.find((candidate) => id !== null && candidate.marks.includes(id));
    this.context.say(flag ? `${done} ${words.said.flagged(flag.message)}` : done);
  }
}
