// The sheet of keys: every action, its key, a way to give it another. It lies beside the work, stops nothing,
// and prints.

import { html } from "../vendor/lit-html/lit-html.js";
import { marks as words } from "../words/marks.js";
import { BINDINGS, chordOf } from "./keys.js";

/** @typedef {import("./keyboard.js").Keyboard} Keyboard */
/** @typedef {import("./keys.js").Group} Group */

/** @type {readonly Group[]} */
const GROUPS = ["marks", "guided", "frames", "play", "change", "view"];

/** In words: an event's action is named by the event. @param {string} action */
export function nameOf(action) {
  const mark = BINDINGS.find((binding) => binding.action === action)?.mark;
  return mark ? words.event(mark.kind, mark.side) : words.actions[action] ?? action;
}

export class KeySheet {
  /** @param {Keyboard} keyboard @param {() => void} redraw @param {() => void} close */
  constructor(keyboard, redraw, close) {
    this.keyboard = keyboard;
    this.redraw = redraw;
    this.close = close;
    /** The action that waits for its new key. @type {string | null} */
    this.changing = null;
    this.said = "";
  }

  /** @param {string} action */
  #change(action) {
    this.changing = action;
    this.said = words.sheet.press;
    this.redraw();
  }

  /** @param {KeyboardEvent} event */
  #pressed(event) {
    const action = this.changing;
    if (!action || event.key === "Shift" || event.key === "Control" || event.key === "Meta") return;
    event.preventDefault();
    event.stopPropagation();
    if (event.key === "Escape") {
      this.changing = null;
      this.said = "";
    } else {
      const { refused, swapped } = this.keyboard.change(action, chordOf(event));
      if (refused) {
        this.said = words.sheet.refused;
      } else {
        this.changing = null;
        this.said = swapped ? words.sheet.swapped(nameOf(action), nameOf(swapped)) : words.sheet.changed(nameOf(action));
      }
    }
    this.redraw();
  }

  #reset() {
    this.keyboard.reset();
    this.changing = null;
    this.said = "";
    this.redraw();
  }

  /** @param {string} action */
  #key(action) {
    const isChanging = this.changing === action;
    return html`<button type="button" class="marks-key" data-action=${action}
      aria-pressed=${String(isChanging)} ?disabled=${action === "release"} @click=${() => this.#change(action)}><span class="only-heard">${words.sheet.change}: ${nameOf(action)}, </span><kbd>${isChanging ? "…" : this.keyboard.label(action)}</kbd></button>`;
  }

  /** The events as they lie under the hands: the left side's keys left, the right side's right. */
  #events() {
    const kinds = [...new Set(BINDINGS.flatMap(({ mark }) => (mark ? [mark.kind] : [])))];
    const keyOf = (/** @type {string} */ kind, /** @type {(string | null)[]} */ sides) => BINDINGS.filter(({ mark }) => mark?.kind === kind && sides.includes(mark.side)).map(({ action }) => this.#key(action));
    return html`<table class="marks-sheet-events"><thead><tr><th scope="col">${words.list.columns.event}</th><th scope="col">${words.Side.left}</th><th scope="col">${words.Side.both}</th><th scope="col">${words.Side.right}</th></tr></thead>
      <tbody>${kinds.map((kind) => html`<tr><th scope="row">${words.kind[kind]}</th><td>${keyOf(kind, ["left"])}</td><td>${keyOf(kind, ["both", null])}</td><td>${keyOf(kind, ["right"])}</td></tr>`)}</tbody></table>`;
  }

  template() {
    return html`<section class="marks-sheet" aria-label=${words.sheet.heading} @keydown=${(/** @type {KeyboardEvent} */ event) => this.#pressed(event)}>
      <header><h2>${words.sheet.heading}</h2><p class="marks-small marks-soft">${words.sheet.by_place}</p>
        <p role="status" class="marks-sheet-said">${this.said}</p>
        <button type="button" @click=${() => window.print()}>${words.sheet.print}</button>
        <button type="button" @click=${() => this.#reset()}>${words.sheet.reset}</button>
        <button type="button" @click=${this.close}>${words.sheet.close} <kbd>${this.keyboard.label("release")}</kbd></button></header>
      <div class="marks-sheet-groups">${GROUPS.map((group) => html`<section><h3>${words.groups[group]}</h3>${group === "marks" ? this.#events() : html`
        <ul>${BINDINGS.filter((binding) => binding.group === group).map(({ action }) => html`<li><span>${nameOf(action)}</span>${this.#key(action)}</li>`)}</ul>`}</section>`)}</div>
    </section>`;
  }
}
