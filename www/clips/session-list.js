// The sessions kept on this device: open, rename, duplicate, save to a file, delete. Nothing modal: a question is
// asked in the row it is about.

import { html, nothing } from "../vendor/lit-html/lit-html.js";
import { repeat } from "../vendor/lit-html/directives/repeat.js";
import { fileName, saveFile } from "../sitting/files.js";
import { DeviceStorage, deleteEverything } from "../sitting/storage.js";
import { clips as words } from "../words.js";

/** @typedef {import("../sitting/storage.js").SessionSummary} SessionSummary */

export class SessionList {
  /** @type {SessionSummary[]} */
  #sessions = [];
  /** @type {{id: string, asks: "rename"|"delete"}|null} */
  #question = null;
  #asksDeleteAll = false;
  #context;
  #redraw;

  /** @param {any} context @param {() => void} redraw */
  constructor(context, redraw) {
    this.#context = context;
    this.#redraw = redraw;
  }

  /** Reads the list again. */
  async refresh() {
    try {
      this.#sessions = await this.#context.desk.sessions();
    } catch (error) {
      this.#context.notify(error);
    }
    this.#redraw();
  }

  template() {
    const { desk } = this.#context;
    return html`
      <section class="kept" aria-labelledby="kept-title">
        <h2 id="kept-title">${words.kept_heading}</h2>
        ${this.#sessions.length === 0
          ? html`<p class="soft">${desk.storage ? words.kept_none : words.kept_denied}</p>`
          : html`<ul class="kept-list">
              ${repeat(this.#sessions, (session) => session.id, (session) => this.#row(session))}
            </ul>`}
        ${this.#deleteAll()}
      </section>
    `;
  }

  /** @param {SessionSummary} session */
  #row(session) {
    const isOpen = session.id === this.#context.store.id;
    const label = session.label || words.unnamed;
    const cycles = session.clips.reduce((sum, clip) => sum + clip.cycles_marked, 0);
    const questions = session.clips.reduce((sum, clip) => sum + clip.open_questions, 0);
    const asks = this.#question?.id === session.id ? this.#question.asks : null;
    return html`
      <li class="kept-row" data-session=${session.id} data-open=${isOpen}>
        ${asks === "rename"
          ? this.#renameForm(session)
          : html`<button type="button" class="kept-open" ?disabled=${isOpen} @click=${() => this.#open(session)}>
              <span class="kept-label">${label}</span>
              <span class="kept-facts">
                <time datetime=${session.date}>${session.date}</time>${isOpen ? html` · <b>${words.is_open}</b>` : nothing}
              </span>
              <span class="kept-facts">${clipNames(session)}</span>
              <span class="kept-facts">${words.howFar(cycles, questions)}</span>
            </button>`}
        ${asks === "delete"
          ? html`
              <div class="question" role="group" aria-label=${words.delete}>
                <p>${words.really_delete(label, session.date)}</p>
                <div class="actions">
                  <button type="button" class="primary" data-action="delete-yes" @click=${() => this.#delete(session)}>${words.delete}</button>
                  <button type="button" @click=${() => this.#ask(null)}>${words.keep}</button>
                </div>
              </div>
            `
          : asks === null
            ? html`
                <div class="kept-actions" role="group" aria-label=${words.actions_for(`${label}, ${session.date}`)}>
                  <button type="button" class="quiet" data-action="rename" @click=${() => this.#ask({ id: session.id, asks: "rename" })}>${words.rename}</button>
                  <button type="button" class="quiet" data-action="duplicate" @click=${() => this.#duplicate(session)}>${words.duplicate}</button>
                  <button type="button" class="quiet" data-action="export" @click=${() => this.#export(session)}>${words.export}</button>
                  <button type="button" class="quiet" data-action="delete" @click=${() => this.#ask({ id: session.id, asks: "delete" })}>${words.delete}</button>
                </div>
              `
            : nothing}
      </li>
    `;
  }

  /** @param {SessionSummary} session */
  #renameForm(session) {
    const submit = (/** @type {SubmitEvent} */ event) => {
      event.preventDefault();
      const input = /** @type {HTMLFormElement} */ (event.target).elements.namedItem("label");
      this.#rename(session, /** @type {HTMLInputElement} */ (input).value.trim());
    };
    return html`
      <form class="rename" @submit=${submit} @keydown=${(/** @type {KeyboardEvent} */ event) => event.key === "Escape" && this.#ask(null)}>
        <label class="field">${words.new_name}<input name="label" .value=${session.label} autocomplete="off"></label>
        <div class="actions">
          <button class="primary">${words.save_name}</button>
          <button type="button" @click=${() => this.#ask(null)}>${words.cancel}</button>
        </div>
      </form>
    `;
  }

  #deleteAll() {
    if (this.#asksDeleteAll) {
      return html`
        <div class="question" role="group" aria-label=${words.delete_all}>
          <p>${words.really_delete_all}</p>
          <div class="actions">
            <button type="button" class="primary" data-action="delete-all-yes" @click=${() => this.#deleteEverything()}>${words.delete_all_yes}</button>
            <button type="button" @click=${() => this.#askDeleteAll(false)}>${words.keep}</button>
          </div>
        </div>
      `;
    }
    return html`<button type="button" class="quiet delete-all" data-action="delete-all" @click=${() => this.#askDeleteAll(true)}>${words.delete_all}</button>`;
  }

  /** @param {{id: string, asks: "rename"|"delete"}|null} question */
  #ask(question) {
    const before = this.#question;
    this.#question = question;
    this.#redraw();
    // The keyboard follows the question, and comes back to where it was asked.
    const row = document.querySelector(`[data-session="${(question ?? before)?.id}"]`);
    const target = question === null ? row?.querySelector(`[data-action="${before?.asks}"]`) : row?.querySelector("input, .question button:last-of-type");
    if (target instanceof HTMLElement) target.focus();
  }

  /** @param {boolean} asks */
  #askDeleteAll(asks) {
    this.#asksDeleteAll = asks;
    this.#redraw();
  }

  /** @param {SessionSummary} session */
  async #open(session) {
    await this.#tried(async () => {
      await this.#context.desk.open(session.id);
    });
  }

  /** @param {SessionSummary} session @param {string} label */
  async #rename(session, label) {
    this.#ask(null);
    await this.#tried(async () => {
      await this.#context.desk.rename(session.id, label);
      this.#context.say(words.renamed(label || words.unnamed));
    });
  }

  /** @param {SessionSummary} session */
  async #duplicate(session) {
    const label = words.copyOf(session.label);
    await this.#tried(async () => {
      await this.#context.desk.duplicate(session.id, label);
      this.#context.say(words.duplicated_session(label));
    });
  }

  /** @param {SessionSummary} session */
  async #export(session) {
    await this.#tried(async () => {
      const { bytes, label, date } = await this.#context.desk.fileOf(session.id);
      const saved = await saveFile({ bytes, name: fileName(label, date, "session.wetframe"), type: "application/json", description: "wetframe session" });
      if (saved) this.#context.desk.noteHandedOver(session.id);
    });
  }

  /** @param {SessionSummary} session */
  async #delete(session) {
    this.#question = null;
    await this.#tried(async () => {
      await this.#context.desk.remove(session.id);
      this.#context.say(words.deleted(session.label || words.unnamed));
    });
  }

  async #deleteEverything() {
    this.#asksDeleteAll = false;
    await this.#tried(async () => {
      await this.#context.desk.forgetEverything(deleteEverything, DeviceStorage.open);
      this.#context.say(words.deleted_all);
    });
  }

  /** @param {() => Promise<void>} task */
  async #tried(task) {
    try {
      await task();
    } catch (error) {
      this.#context.notify(error);
    }
    await this.refresh();
  }
}

/** @param {SessionSummary} session */
function clipNames(session) {
  const names = session.clips.map((clip) => clip.label || clip.name);
  return names.length === 0 ? words.clipCount(0) : `${words.clipCount(names.length)}: ${names.join(", ")}`;
}
