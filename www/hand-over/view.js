// The last part of the sitting: what leaves the page, in the coach's own hands, and what to mind when it does.

import { html, nothing, render } from "../vendor/lit-html/lit-html.js";
import { fileName, saveFile } from "../sitting/files.js";
import { hand_over as words } from "../words.js";
import { saveSessionFile } from "./save-session-file.js";

/**
 * @param {HTMLElement} root
 * @param {any} context
 * @returns {import("../sitting/types.js").View}
 */
export function mount(root, context) {
  /** @type {import("../sitting/store.js").Store} */
  const store = context.store;
  const { desk } = context;
  desk.addEventListener("handed-over", draw);
  draw();
  return {
    update: draw,
    unmount() {
      desk.removeEventListener("handed-over", draw);
      render(nothing, root);
    },
  };

  function draw() {
    const { session } = store;
    render(session ? ways(session) : empty(), root);
  }

  function empty() {
    return html`
      <section class="place-empty">
        <h1>${words.nothing_title}</h1>
        <p>${words.nothing_text}</p>
        <a class="button primary" href="#clips">${words.to_clips}</a>
      </section>
    `;
  }

  /** @param {import("../sitting/types.js").SessionView} session */
  function ways(session) {
    const { ever, since } = desk.handedOver;
    const marks = session.clips.reduce((sum, clip) => sum + clip.marks_count, 0);
    const cycles = session.clips.reduce((sum, clip) => sum + clip.cycles_marked, 0);
    const questions = session.clips.reduce((sum, clip) => sum + clip.flags_count, 0);
    const { under_18, consent } = session.athlete;
    return html`
      <div class="hand-over">
        <h1>${words.title}</h1>
        <p class="figures">${words.summary(session.clips.length, marks, cycles)}</p>
        ${questions > 0 ? html`<p class="notice"><span>${words.questions(questions)}</span></p>` : nothing}
        ${under_18 ? html`<p class="notice"><span>${words.minors} ${consent ? nothing : words.no_consent}</span></p>` : nothing}
        <div class="outs">
          <section class="out" aria-labelledby="out-session">
            <h2 id="out-session">${words.session_title}</h2>
            <p>${words.session_text}</p>
            <p class="soft" data-state="file">${words.session_state(ever, since)}</p>
            <button type="button" class="primary" data-action="save-session" @click=${() => tried(() => saveSessionFile(desk, store))}>${words.session_save}</button>
          </section>
          <section class="out" aria-labelledby="out-csv">
            <h2 id="out-csv">${words.csv_title}</h2>
            <p>${words.measures_text}</p>
            <button type="button" data-action="save-measures" ?disabled=${marks === 0} @click=${() => saveCsv("measures", () => store.measuresCsv())}>${words.measures_save}</button>
            <p>${words.marks_text}</p>
            <button type="button" data-action="save-marks" ?disabled=${marks === 0} @click=${() => saveCsv("marks", () => store.marksCsv())}>${words.marks_save}</button>
            ${session.comparisons.length === 0 ? nothing : html`<p>${words.comparisons_text}</p>
            <button type="button" data-action="save-comparisons" @click=${() => saveCsv("comparisons", () => store.comparisonsCsv())}>${words.comparisons_save}</button>`}
            ${(store.repeatability()?.passes ?? 0) === 0 ? nothing : html`<p>${words.remarks_text}</p>
            <button type="button" data-action="save-repeatability" @click=${() => saveCsv("repeatability", () => store.repeatabilityCsv())}>${words.repeatability_save}</button>
            <button type="button" data-action="save-remarks" @click=${() => saveCsv("remarks", () => store.remarksCsv())}>${words.remarks_save}</button>`}
          </section>
          <section class="out" aria-labelledby="out-print">
            <h2 id="out-print">${words.print_title}</h2>
            <p>${cycles === 0 ? words.print_needs_cycles : words.print_text}</p>
            <button type="button" data-action="print" ?disabled=${cycles === 0} @click=${() => tried(() => context.printNumbers())}>${words.print}</button>
          </section>
        </div>
        <section class="care" aria-labelledby="care-title">
          <h2 id="care-title">${words.care_title}</h2>
          <ul>
            ${words.care.map((text) => html`<li>${text}</li>`)}
          </ul>
          <p class="small soft">${words.care_sources}</p>
        </section>
      </div>
    `;
  }

  /** @param {"marks"|"measures"|"comparisons"|"remarks"|"repeatability"} what @param {() => string} make */
  function saveCsv(what, make) {
    return tried(() => {
      const { athlete, date } = store.openSession();
      return saveFile({
        bytes: make(),
        name: fileName(athlete.label, date, `${what}.csv`),
        type: "text/csv",
        description: `wetframe ${what}`,
      });
    });
  }

  /** @param {() => Promise<unknown>} task */
  async function tried(task) {
    try {
      await task();
    } catch (error) {
      context.notify(error);
    }
  }
}
