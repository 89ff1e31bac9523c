// The guided pass: asks for one event after another, goes to where it should be, and lets the coach nudge and
// confirm. What to ask next and where is worked out in Rust; here are the skips and the way back.

import { html, nothing } from "../vendor/lit-html/lit-html.js";
import { marks as words } from "../words/marks.js";
import { decimal } from "./figures.js";
import { markAction } from "./keys.js";

/** @typedef {import("./shapes.js").GuideStep} GuideStep */

/** What the pass asks for. @typedef {{arms: ("left" | "right")[], breath_sides: ("left" | "right")[], kick_outs: boolean}} GuidePlan */
/** What the coach did with a question. @typedef {{step: GuideStep, skipped: true} | {step: GuideStep, skipped: false, mark: number, frame: number}} Answer */

export class Guided {
  /**
   * @param {(plan: GuidePlan, skipped: unknown[]) => GuideStep | null} nextStep
   * @param {(frame: number) => void} goTo
   */
  constructor(nextStep, goTo) {
    this.nextStep = nextStep;
    this.goTo = goTo;
    this.on = true;
    /** @type {GuidePlan} */
    this.plan = { arms: ["left", "right"], breath_sides: [], kick_outs: false };
    /** Whether the choice of what to ask for is open. */
    this.isChoosing = false;
    /** @type {GuideStep | null} */
    this.step = null;
    /** @type {Answer[]} */
    this.answers = [];
    /** Frame to show instead of the proposal, after a step back. @type {number | null} */
    this.instead = null;
  }

  /** Another clip, another pass. */
  restart() {
    this.answers = [];
    this.step = null;
    this.instead = null;
  }

  get #skipped() {
    return this.answers.filter((answer) => answer.skipped).map((answer) => answer.step.id);
  }

  /** Asks for the next question; goes to its frame when it is another than before. */
  refresh() {
    const before = this.step;
    this.step = this.on ? this.nextStep(this.plan, this.#skipped) : null;
    if (!this.step) return;
    const same = before !== null && before.kind === this.step.kind && before.side === this.step.side && before.frame === this.step.frame;
    if (same && this.instead === null) return;
    this.goTo(this.instead ?? this.step.frame);
    this.instead = null;
  }

  /** @param {Partial<GuidePlan>} change */
  choose(change) {
    this.plan = { ...this.plan, ...change };
    this.step = null;
  }

  /** @param {boolean} on */
  turn(on) {
    this.on = on;
    this.step = null;
    this.refresh();
  }

  /** The coach has marked what was asked. @param {GuideStep} step @param {number} mark @param {number} frame */
  confirmed(step, mark, frame) {
    this.answers.push({ step, skipped: false, mark, frame });
  }

  /** Leaves this question out. @returns {GuideStep | null} */
  skip() {
    const { step } = this;
    if (!step) return null;
    this.answers.push({ step, skipped: true });
    this.refresh();
    return step;
  }

  /** Takes the last answer back; the caller deletes the mark, if there is one. @returns {Answer | null} */
  back() {
    const answer = this.answers.pop() ?? null;
    if (!answer) return null;
    this.instead = answer.skipped ? answer.step.frame : answer.frame;
    this.step = null;
    return answer;
  }

  /**
   * @param {{label: (action: string) => string, act: (action: string) => void, frame: number, can: boolean}} how
   */
  template({ label, act, frame, can }) {
    const button = (/** @type {string} */ action, /** @type {string} */ text, primary = false, help = words.actions[action]) => html`<button type="button" title=${help}
      class=${primary ? "primary" : ""} ?disabled=${!can} @click=${() => act(action)}><kbd>${label(action)}</kbd> ${text}</button>`;
    if (!this.on) {
      return html`<section class="marks-guided marks-guided-off" aria-label=${words.guided.heading}>
        <p>${words.guided.off}</p><button type="button" @click=${() => act("guide")}><kbd>${label("guide")}</kbd> ${words.guided.start}</button></section>`;
    }
    const { step } = this;
    if (!step && !can) return html`<section class="marks-guided marks-guided-off" aria-label=${words.guided.heading}><p>${words.guided.waits}</p></section>`;
    if (!step) {
      return this.#finished(act, button);
    }
    const off = frame - step.frame;
    return html`<section class=${`marks-guided marks-guided-${step.side}`} aria-label=${words.guided.heading}
      data-asks=${markAction(step.kind, step.side)} data-frame=${step.frame} data-done=${step.done} data-of=${step.of}>
      <p class="marks-ask"><strong>${words.guided.ask(step.kind, step.side)}</strong> <span>${words.guided.hint(step.kind)}</span></p>
      <p class="marks-small marks-soft marks-basis"><span class="marks-basis-text">${off === 0 ? html`${words.guided.basis[step.basis] ?? ""} ${step.search_s > 0 && step.basis !== "first" ? words.guided.search(decimal(step.search_s * 1000, 0)) : nothing}` : words.guided.far(off)}</span>
        <span class="marks-progress">${words.guided.progress(step.done, step.of)}</span></p>
      <button type="button" class="quiet marks-plan-open" aria-expanded=${String(this.isChoosing)} title=${words.guided.plan}
        @click=${() => { this.isChoosing = !this.isChoosing; act("redraw"); }}><span aria-hidden="true">…</span><span class="only-heard">${words.guided.plan}</span></button>
      <div class="marks-guided-keys">
        ${button("confirm", words.guided.confirm, true)}
        <span class="marks-nudge"><kbd>${label("frame_back")}</kbd><kbd>${label("frame_forward")}</kbd><span class="only-heard">${words.guided.nudge}</span></span>
        ${button("cannot_see", words.guided.skip, false, words.guided.skip_help)}
        ${button("guide_back", words.guided.back)}
      </div>
      ${this.isChoosing ? this.#choices(act) : nothing}
      <progress max=${step.of} .value=${step.done} aria-label=${words.guided.heading}></progress>
    </section>`;
  }

  /**
   * Nothing left to ask: on with what the plan has not asked for yet.
   * @param {(action: string) => void} act
   * @param {(action: string, text: string) => unknown} button
   */
  #finished(act, button) {
    const { breath_sides, kick_outs } = this.plan;
    const more = (/** @type {string} */ name, /** @type {Partial<GuidePlan>} */ change) => html`<button type="button" @click=${() => { this.choose(change); act("redraw"); }}>${name}</button>`;
    const sides = /** @type {const} */ (["left", "right"]);
    return html`<section class="marks-guided marks-guided-finished" aria-label=${words.guided.heading}>
      <p>${words.guided.finished} ${words.guided.go_on}</p>
      <div class="marks-guided-keys">
        ${sides.map((side) => (breath_sides.includes(side) ? nothing : more(words.guided.breaths[side], { breath_sides: [...breath_sides, side] })))}
        ${kick_outs ? nothing : more(words.guided.kick_outs, { kick_outs: true })}
        ${button("guide_back", words.guided.back)}</div></section>`;
  }

  /** What the pass asks for: arms, breaths by side, kick-outs. @param {(action: string) => void} act */
  #choices(act) {
    const { arms, breath_sides, kick_outs } = this.plan;
    const choice = (/** @type {string} */ name, /** @type {boolean} */ on, /** @type {(on: boolean) => Partial<GuidePlan>} */ change) => html`<label class="choice"><input type="checkbox" .checked=${on}
      @change=${(/** @type {Event} */ event) => { this.choose(change(/** @type {HTMLInputElement} */ (event.target).checked)); act("redraw"); }}>${name}</label>`;
    const either = (/** @type {("left" | "right")[]} */ sides, /** @type {"left" | "right"} */ side, /** @type {boolean} */ on) => (on ? [...sides, side].sort() : sides.filter((other) => other !== side));
    const sides = /** @type {const} */ (["left", "right"]);
    return html`<fieldset class="marks-plan"><legend>${words.guided.plan}</legend>
      ${sides.map((side) => choice(words.lanes[side], arms.includes(side), (on) => ({ arms: either(arms, side, on) })))}
      ${sides.map((side) => choice(words.guided.breaths[side], breath_sides.includes(side), (on) => ({ breath_sides: either(breath_sides, side, on) })))}
      ${choice(words.guided.kick_outs, kick_outs, (on) => ({ kick_outs: on }))}</fieldset>`;
  }
}
