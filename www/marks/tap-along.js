// Tap along: the clip plays slowly and the coach presses one key each time one event happens. The marks land on
// the frame shown at the press, less the coach's own measured reaction, and are nudged afterwards.
//
// On the video element a picture in motion proves nothing: there each press pauses and checks the frame first.

import { html, nothing } from "../vendor/lit-html/lit-html.js";
import { marks as words } from "../words/marks.js";
import { decimal } from "./figures.js";
import { BINDINGS, markAction, markOf } from "./keys.js";
import { Practice, TAPS_WANTED, keepReaction, storedReaction } from "./reaction.js";

/** @typedef {import("./marker.js").Marker} Marker */
/** @typedef {import("../sitting/types.js").Context} Context */

const TAP_RATES = Object.freeze([0.25, 0.35, 0.5]);

export class TapAlong {
  /**
   * @param {Context} context
   * @param {Marker} marker
   * @param {Storage | null} storage
   * @param {() => void} redraw
   * @param {(mark: number) => void} nudge called with the first mark of a run when it is over
   */
  constructor(context, marker, storage, redraw, nudge) {
    this.context = context;
    this.marker = marker;
    this.storage = storage;
    this.redraw = redraw;
    this.nudge = nudge;
    this.open = false;
    this.running = false;
    this.rate = 0.25;
    /** The event's action. */
    this.action = markAction("entry", "left");
    /** Marks placed in this run. @type {number[]} */
    this.placed = [];
    this.reaction = storedReaction(storage);
    /** @type {Practice | null} */
    this.practice = null;
    this.left = TAPS_WANTED;
    this.done = false;
    /** @type {SVGCircleElement | null} */
    this.dot = null;
    this.checking = false;
  }

  close() {
    this.stop();
    this.practice?.stop();
    this.practice = null;
    this.open = false;
  }

  /** Plays on from the frame shown. */
  start() {
    const player = this.context.player();
    if (!player) return;
    this.placed = [];
    this.done = false;
    this.running = true;
    player.play(this.rate);
    this.redraw();
  }

  stop() {
    if (!this.running) return;
    this.running = false;
    this.done = true;
    void this.context.player()?.pause();
    if (this.placed.length > 0) this.nudge(this.placed[0]);
    this.redraw();
  }

  /** The clip has come to its end, or something else has stopped it. */
  paused() {
    if (this.running && !this.checking) this.stop();
  }

  /**
   * A press of an event's key while the clip plays.
   * @param {string} action
   * @returns {boolean} whether it was the event that is tapped along
   */
  tap(action) {
    if (!this.running || action !== this.action) return false;
    const player = this.context.player();
    const mark = markOf(action);
    const shown = player?.current;
    if (!player || !mark || !shown) return false;
    if (player.method === "element") {
      void this.#tapChecked(player, mark, shown.frame);
      return true;
    }
    this.#place(player, mark, shown.ticks, shown.proof);
    return true;
  }

  /** @param {import("../sitting/types.js").PlayerHandle} player @param {NonNullable<ReturnType<typeof markOf>>} mark @param {number} ticks @param {string} proof */
  #place(player, mark, ticks, proof) {
    const late = ((this.reaction?.late_ms ?? 0) / 1000) * this.rate * player.facts.timescale;
    const frame = player.frameAt(Math.round(ticks - late));
    const id = this.marker.addAt(mark.kind, mark.side, player.ticksOf(frame), frame, proof);
    if (id !== null && !this.placed.includes(id)) this.placed.push(id);
    this.redraw();
  }

  /** @param {import("../sitting/types.js").PlayerHandle} player @param {NonNullable<ReturnType<typeof markOf>>} mark @param {number} frame */
  async #tapChecked(player, mark, frame) {
    if (this.checking) return;
    this.checking = true;
    try {
      const late = ((this.reaction?.late_ms ?? 0) / 1000) * this.rate * player.facts.timescale;
      const meant = player.frameAt(Math.round(player.ticksOf(frame) - late));
      const shown = await player.show(meant);
      if (shown.outcome !== "shown") {
        this.context.say(words.said.not_reached(meant));
      } else {
        const id = this.marker.addAt(mark.kind, mark.side, shown.ticks, shown.frame, shown.proof);
        if (id !== null && !this.placed.includes(id)) this.placed.push(id);
      }
      await player.show(frame + 1);
      if (this.running) player.play(this.rate);
    } catch (error) {
      this.context.notify(error);
      this.stop();
    } finally {
      this.checking = false;
      this.redraw();
    }
  }

  #practise() {
    this.left = TAPS_WANTED;
    this.practice = new Practice(
      (height) => {
        this.dot ??= document.querySelector(".marks-practice circle");
        this.dot?.setAttribute("cy", String(62 - 54 * height));
      },
      (left) => { this.left = left; this.redraw(); },
      (reaction) => {
        this.reaction = reaction;
        keepReaction(this.storage, reaction);
        this.practice = null;
        this.dot = null;
        this.redraw();
      },
    );
    this.dot = null;
    this.redraw();
  }

  /** Whether a press of the play key belongs to the practice. */
  practised() {
    if (!this.practice) return false;
    this.practice.press(performance.now());
    return true;
  }

  /** @param {{label: (action: string) => string, act: (action: string) => void, can: boolean}} how */
  template({ label, act, can }) {
    const mark = markOf(this.action);
    const what = mark ? words.event(mark.kind, mark.side).toLowerCase() : "";
    const method = this.context.player()?.method;
    const chooseEvent = (/** @type {Event} */ event) => { this.action = /** @type {HTMLSelectElement} */ (event.target).value; this.redraw(); };
    const chooseRate = (/** @type {Event} */ event) => { this.rate = Number(/** @type {HTMLSelectElement} */ (event.target).value); this.redraw(); };
    return html`<section class="marks-tap" aria-label=${words.tap.heading}>
      <header><h2>${words.tap.heading}</h2><button type="button" class="quiet" @click=${() => act("tap_along")}>${words.sheet.close} <kbd>${label("tap_along")}</kbd></button></header>
      ${this.practice ? html`<p role="status">${words.tap.practise_ask(this.left)}</p>
        <button type="button" class="marks-practice" @pointerdown=${(/** @type {PointerEvent} */ event) => { event.preventDefault(); this.practised(); }}>
          <svg viewBox="0 0 200 76" role="img" aria-label=${words.tap.practise}><line x1="10" y1="66" x2="190" y2="66"></line><circle cx="100" cy="8" r="6"></circle></svg></button>
        <button type="button" @click=${() => { this.practice?.stop(); this.practice = null; this.redraw(); }}>${words.tap.practise_stop}</button>` : html`
        <div class="marks-tap-choices">
          <label>${words.tap.event}<select ?disabled=${this.running} @change=${chooseEvent}>${BINDINGS.map(({ action, mark: to }) => (to ? html`<option value=${action} .selected=${action === this.action}>${words.event(to.kind, to.side)}</option>` : nothing))}</select></label>
          <label>${words.tap.speed}<select ?disabled=${this.running} @change=${chooseRate}>${TAP_RATES.map((rate) => html`<option value=${rate} .selected=${rate === this.rate}>${words.transport.speed(rate)}</option>`)}</select></label>
          ${this.running ? html`<button type="button" class="primary" @click=${() => this.stop()}>${words.tap.stop}</button>`
            : html`<button type="button" class="primary" ?disabled=${!can} @click=${() => this.start()}>${words.tap.start}</button>`}
        </div>
        <p role="status">${this.running ? html`${words.tap.ask(what, label(this.action))} ${words.tap.running(this.placed.length)}` : this.done ? words.tap.done(this.placed.length) : words.tap.ask(what, label(this.action))}</p>
        <p class="marks-small marks-soft">${this.reaction ? words.tap.reaction(decimal(this.reaction.late_ms, 0), decimal(this.reaction.spread_ms, 0)) : words.tap.reaction_none}
          ${method === "element" ? words.tap.paused_to_verify : nothing}</p>
        <div class="marks-tap-choices"><button type="button" ?disabled=${this.running} @click=${() => this.#practise()}>${words.tap.practise}</button>
        ${this.reaction ? html`<button type="button" class="quiet" ?disabled=${this.running} @click=${() => { this.reaction = null; keepReaction(this.storage, null); this.redraw(); }}>${words.tap.forget}</button>` : nothing}</div>`}
    </section>`;
  }
}
