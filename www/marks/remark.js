// Marking again: the coach goes through the same events a second time, blind, and sees afterwards how closely the two
// markings agree. Chooses the passage, asks one event after another, stops, goes on, finishes. What to ask and what
// follows from the answers is worked out in Rust; answers are commands to the store like any other.
//
// Not for: hiding the first marks (view.js does, as long as `going` is set) or the tables (remark-results.js).

import { html, nothing } from "../vendor/lit-html/lit-html.js";
import { marks as markWords } from "../words/marks.js";
import { remark as words } from "../words/remark.js";
import { blindPass, goBlind, seeAgain } from "./blind.js";
import { decimal } from "./figures.js";
import { markAction } from "./keys.js";

/** @typedef {import("../sitting/types.js").Context} Context */
/** @typedef {import("../sitting/types.js").RemarkPass} RemarkPass */
/** @typedef {import("./shapes.js").MarkShown} MarkShown */
/** @typedef {import("./shapes.js").MarkingView} MarkingView */
/** @typedef {"whole" | "last" | "between"} Choice */

/** So many cycles give both arms' events more often than a figure needs them. */
const USUAL_CYCLES = 6;

export class MarkingAgain {
  /**
   * @param {Context} context
   * @param {import("./jog.js").Jog} jog
   */
  constructor(context, jog) {
    this.context = context;
    this.jog = jog;
    /** Whether the panel is open. */
    this.open = false;
    /** Whether what came out lies over the picture. */
    this.showsResults = false;
    /** The second marking that is gone through now, blind. @type {number | null} */
    this.going = null;
    /** Where it stands. @type {RemarkPass | null} */
    this.pass = null;
    /** The question whose first frame was asked for. @type {number | null} */
    this.shownFor = null;
    /** @type {Choice} */
    this.choice = "whole";
    this.cycles = USUAL_CYCLES;
    /** The chosen stretch, in ticks; null: from the start, to the end. @type {{from: number | null, to: number | null}} */
    this.stretch = { from: null, to: null };
  }

  get #store() {
    return this.context.store;
  }

  /** What is asked for now. */
  get step() {
    return this.pass?.step ?? null;
  }

  /** The action that marks what is asked for. */
  get asked() {
    return this.step ? markAction(this.step.kind, this.step.side) : null;
  }

  /** Another clip: another passage. */
  restart() {
    this.stretch = { from: null, to: null };
    this.showsResults = false;
    this.pass = null;
    this.shownFor = null;
  }

  /** After every change: goes on where a reload or an undo has left it, and to the first frame of a new question. */
  refresh() {
    this.going = blindPass(this.#store);
    if (this.going === null) {
      this.pass = null;
      this.shownFor = null;
      return;
    }
    this.open = true;
    this.pass = this.#store.remarkPass(this.going);
    const { step } = this;
    if (!step || step.asked === this.shownFor || !this.context.player()) return;
    this.shownFor = step.asked;
    void this.jog.to(step.frame);
  }

  /** The one that was begun and is not finished. */
  get #begun() {
    return this.#store.remarkings().find((remarking) => !remarking.finished) ?? null;
  }

  /** The passage that the choice speaks of, in ticks. @param {MarkingView | null} data */
  #passage(data) {
    if (this.choice === "between") return this.stretch;
    if (this.choice === "whole" || !data) return { from: null, to: null };
    const counted = data.analysis.arms.map(({ cycles }) => cycles).reduce((most, cycles) => (cycles.length > most.length ? cycles : most), []);
    return { from: counted.at(-this.cycles)?.start ?? null, to: null };
  }

  /** @param {MarkingView | null} data */
  #marksIn(data) {
    const { from, to } = this.#passage(data);
    return data?.marks.filter(({ time }) => (from === null || time >= from) && (to === null || time <= to)).length ?? 0;
  }

  /** @param {MarkingView | null} data */
  start(data) {
    const { from, to } = this.#passage(data);
    const applied = this.#apply({ command: "add_remarking", clip: this.#store.clip_id, from, to });
    const { id, of } = (applied && this.#begun) ?? {};
    if (id === undefined || of === undefined) return;
    this.#goBlind(id);
    this.context.say(words.said.started(of));
  }

  /** @param {number} id */
  #goBlind(id) {
    this.showsResults = false;
    goBlind(this.#store, id);
  }

  /** Goes on with the one that was begun. */
  goOn() {
    const begun = this.#begun;
    if (begun) this.#goBlind(begun.id);
  }

  stop() {
    seeAgain();
    this.context.say(words.said.stopped);
  }

  finish() {
    const id = this.going ?? this.#begun?.id;
    if (id === undefined || !this.#apply({ command: "finish_remarking", remarking: id })) return;
    seeAgain();
    this.showsResults = true;
    this.context.say(words.said.finished);
  }

  discard() {
    const id = this.going ?? this.#begun?.id;
    if (id === undefined || !this.#apply({ command: "remove_remarking", remarking: id })) return;
    seeAgain();
    this.context.say(words.said.discarded);
  }

  /** Answers the question with the frame shown, or finishes after the last. @param {boolean} reached */
  confirm(reached) {
    const { step, going } = this;
    if (going === null) return;
    if (!step) {
      if (this.pass && this.pass.marked > 0) this.finish();
      else this.context.say(words.nothing_marked);
      return;
    }
    const shown = this.context.player()?.current;
    if (!shown || !reached) {
      this.context.say(markWords.said.not_reached(this.jog.asked ?? shown?.frame ?? 0));
      return;
    }
    const done = this.#apply({ command: "add_remark", remarking: going, asked: step.asked, time: shown.ticks, proof: shown.proof });
    if (done) this.context.say(words.said.marked(markWords.event(step.kind, step.side), shown.frame));
  }

  skip() {
    const { step, going } = this;
    if (!step || going === null) return;
    if (this.#apply({ command: "skip_remark", remarking: going, asked: step.asked })) {
      this.context.say(words.said.skipped(markWords.event(step.kind, step.side)));
    }
  }

  back() {
    const asked = this.pass?.back ?? null;
    if (asked === null) this.context.say(words.said.first);
    else if (this.#apply({ command: "delete_remark", remarking: this.going, asked })) this.context.say(words.said.back);
  }

  /** @param {"from" | "to"} end */
  setEnd(end) {
    const { ticks, frame } = this.#store.playhead;
    const { from, to } = end === "from" ? { ...this.stretch, from: ticks } : { ...this.stretch, to: ticks };
    if (from !== null && to !== null && from >= to) {
      this.context.say(words.said.turned);
      return;
    }
    this.choice = "between";
    this.stretch = { from, to };
    this.context.say(words.said[end](String(frame)));
  }

  /** @param {object} command */
  #apply(command) {
    try {
      return this.#store.apply(command);
    } catch (error) {
      this.context.notify(error);
      return null;
    }
  }

  /**
   * The panel in the place of the guided pass.
   * @param {{label: (action: string) => string, act: (action: string) => void, frame: number, hasFrames: boolean, data: MarkingView | null, frameAt: (ticks: number) => number, draw: () => void, notKnown: string}} how
   */
  template(how) {
    if (this.going !== null) return this.#asking(how);
    const { label, act, notKnown } = how;
    const begun = this.#begun;
    const finished = this.#store.remarkings().some((remarking) => remarking.finished);
    return html`<section class="marks-tap remark-panel" aria-label=${words.heading}>
      <header><h2>${words.heading}</h2>${finished ? html`<button type="button" aria-pressed=${String(this.showsResults)} @click=${() => act("remark_results")}>${words.results}</button>` : nothing}
        <button type="button" class="quiet" @click=${() => act("remark")}>${words.close} <kbd>${label("remark")}</kbd></button></header>
      ${this.#store.repeatability()?.passes ? nothing : html`<p class="remark-lead">${words.why} <span class="marks-soft">${notKnown}</span></p>`}
      ${this.#store.readOnly ? html`<p>${words.read_only}</p>` : begun ? this.#begunTemplate(begun, how) : this.#chooser(how)}
    </section>`;
  }

  /** @param {{marked: number, skipped: number, of: number}} begun @param {{act: (action: string) => void, hasFrames: boolean}} how */
  #begunTemplate(begun, { act, hasFrames }) {
    const { marked, skipped, of } = begun;
    return html`<p><strong>${words.begun(marked + skipped, of)}</strong> ${hasFrames ? words.begun_hint : words.no_frames}</p>
      <div class="marks-tap-choices">
        <button type="button" class="primary" data-remark="go-on" ?disabled=${!hasFrames} @click=${() => { this.goOn(); act("redraw"); }}>${words.go_on}</button>
        <button type="button" data-remark="finish" ?disabled=${marked === 0} @click=${() => { this.finish(); act("redraw"); }}>${words.finish_now}</button>
        <button type="button" data-remark="discard" @click=${() => { this.discard(); act("redraw"); }}>${words.discard}</button></div>`;
  }

  /** @param {{act: (action: string) => void, hasFrames: boolean, data: MarkingView | null, frameAt: (ticks: number) => number, draw: () => void}} how */
  #chooser({ act, hasFrames, data, frameAt, draw }) {
    const choose = (/** @type {Choice} */ choice) => () => { this.choice = choice; draw(); };
    const radio = (/** @type {Choice} */ choice, /** @type {unknown} */ text) => html`<label class="choice"><input type="radio" name="remark-passage" value=${choice}
      .checked=${this.choice === choice} @change=${choose(choice)}>${text}</label>`;
    const setCycles = (/** @type {Event} */ event) => {
      this.cycles = Math.max(Math.round(Number(/** @type {HTMLInputElement} */ (event.target).value)) || 1, 1);
      this.choice = "last";
      draw();
    };
    const { from, to } = this.stretch;
    const marks = this.#marksIn(data);
    return html`<fieldset class="remark-passage"><legend class="only-heard">${words.passage}</legend>
        ${radio("whole", words.whole)}
        <span class="remark-last">${radio("last", words.last)}<input type="number" min="1" max="999" aria-label=${`${words.last} … ${words.last_unit}`} .value=${String(this.cycles)} @change=${setCycles}> ${words.last_unit}</span>
        <span class="remark-between">${radio("between", this.choice === "between" ? words.stretch(from === null ? words.start_of_clip : String(frameAt(from)), to === null ? words.end_of_clip : String(frameAt(to))) : words.between)}
          <button type="button" data-remark="from" @click=${() => { this.setEnd("from"); draw(); }}>${words.from_here}</button>
          <button type="button" data-remark="to" @click=${() => { this.setEnd("to"); draw(); }}>${words.to_here}</button></span>
      </fieldset>
      <div class="marks-tap-choices"><button type="button" class="primary" data-remark="start" ?disabled=${marks === 0 || !hasFrames} @click=${() => { this.start(data); act("redraw"); }}>${words.start}</button>
        <span class="marks-small" data-remark-marks=${marks}>${hasFrames ? words.questions(marks) : words.no_frames}</span></div>`;
  }

  /** @param {{label: (action: string) => string, act: (action: string) => void, frame: number, hasFrames: boolean}} how */
  #asking({ label, act, frame, hasFrames }) {
    const button = (/** @type {string} */ action, /** @type {string} */ text, primary = false) => html`<button type="button" title=${markWords.actions[action]}
      class=${primary ? "primary" : ""} ?disabled=${!hasFrames} @click=${() => act(action)}><kbd>${label(action)}</kbd> ${text}</button>`;
    const { pass, step } = this;
    if (!pass) return nothing;
    if (!step) {
      return html`<section class="marks-guided marks-guided-finished" aria-label=${words.heading} data-remark-done=${pass.marked + pass.skipped}>
        <p><strong>${words.all_asked}</strong> ${words.answered(pass.marked, pass.skipped)}</p>
        <div class="marks-guided-keys">
          ${pass.marked > 0 ? html`<button type="button" class="primary remark-finish" data-remark="finish" @click=${() => act("confirm")}><kbd>${label("confirm")}</kbd> ${words.finish}</button>` : nothing}
          ${button("guide_back", markWords.guided.back)}</div></section>`;
    }
    const off = frame - step.frame;
    return html`<section class=${`marks-guided marks-guided-${step.side}`} aria-label=${words.heading}
      data-asks=${markAction(step.kind, step.side)} data-frame=${step.frame} data-done=${step.done} data-of=${step.of}>
      <p class="marks-ask"><strong>${markWords.event(step.kind, step.side)}</strong> <span>${markWords.guided.hint(step.kind)}</span></p>
      <p class="marks-small marks-soft marks-basis"><span class="marks-basis-text">${off === 0 ? words.window(decimal(step.window_s, 1)) : words.away(off)}</span>
        <span class="marks-progress">${words.progress(step.done, step.of)}</span></p>
      <div class="marks-guided-keys">
        ${button("confirm", markWords.guided.confirm, true)}
        <span class="marks-nudge"><kbd>${label("frame_back")}</kbd><kbd>${label("frame_forward")}</kbd><span class="only-heard">${markWords.guided.nudge}</span></span>
        ${button("cannot_see", markWords.guided.skip)}
        ${button("guide_back", markWords.guided.back)}
      </div>
      <progress max=${step.of} .value=${step.done} aria-label=${words.heading}></progress>
    </section>`;
  }

  /**
   * In the place of the figures, which would give the first marks away.
   * @param {{label: (action: string) => string, act: (action: string) => void}} how
   */
  blindTemplate({ label, act }) {
    const { pass, step } = this;
    return html`<div class="remark-blind">
      <h2>${words.blind_heading}</h2>
      <p class="marks-figure">${pass ? words.progress(pass.marked + pass.skipped, pass.of) : ""}</p>
      <p>${step ? html`${words.cycle(step.cycle, step.cycles)}<span class="remark-within marks-small marks-soft">${words.window(decimal(step.window_s, 1))}</span>` : words.all_asked}</p>
      <p class="marks-soft remark-why">${words.blind}</p>
      <button type="button" class="remark-stop" data-remark="stop" @click=${() => act("remark")}><kbd>${label("remark")}</kbd> ${words.stop}</button></div>`;
  }
}
