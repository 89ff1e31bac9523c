// The comparison in numbers: two sets of cycles, and for each measure one honest answer. Draws what Rust computed and
// listens. Not for: arithmetic on measures, or pictures of the swimmer.

import { html, nothing, render } from "../vendor/lit-html/lit-html.js";
import { askToMarkAgain } from "../marks/wish.js";
import { copyText } from "../numbers/sortable.js";
import { fileName, saveFile } from "../sitting/files.js";
import { troubleFrom } from "../sitting/trouble.js";
import { compare as words } from "../words/compare.js";
import { asText } from "./as-text.js";
import { bar } from "./bar.js";
import { board } from "./board.js";
import { Choice, setsOf, wholeClip } from "./choice.js";
import { Cycles } from "./cycles.js";
import { clipName } from "./format.js";
import { Pictures, PictureState } from "./pictures.js";
import { PlanState, plan } from "./plan.js";
import { said, sets as setsForm } from "./sets.js";
import { countedCycles, endWith, startFrom } from "./stretch.js";
import { TableState, table } from "./table.js";

/** @typedef {import("../sitting/types.js").ClipView} ClipView */
/** @typedef {import("./types.js").Comparison} Comparison */
/** @typedef {import("./types.js").Sets} Sets */
/** @typedef {import("./types.js").Breathing} Breathing */

/**
 * @param {HTMLElement} root
 * @param {import("../sitting/types.js").Context} context
 * @returns {import("../sitting/types.js").View}
 */
export function mount(root, context) {
  const { store } = context;
  const place = document.createElement("div");
  place.className = "compare";
  root.append(place);
  const choice = new Choice(store);
  const cycles = new Cycles(context, root);
  const pictures = new Pictures(context, cycles);
  const state = { table: new TableState(), pictures: new PictureState(), plan: new PlanState(), unfolded: false };
  const narrow = matchMedia("(max-width: 820px)");
  const print = () => drawFor(true);
  const shownAgain = () => drawFor(false);
  narrow.addEventListener("change", update);
  addEventListener("beforeprint", print);
  addEventListener("afterprint", shownAgain);

  /** @param {boolean} paper */
  function drawFor(paper) {
    pictures.isPrinting = paper;
    update();
  }

  function update() {
    const { sets } = choice;
    if (sets === null) {
      const [only] = store.session?.clips ?? [];
      render(only ? oneClip(only) : nothingYet(), place);
      return;
    }
    const { kinds } = sets;
    const { answer, everything, trouble } = compared(sets);
    const some = everything !== null && everything.measures.some((measure) => measure.before || measure.after);
    const shown = { store, sets, held: everything };
    const clips = store.session?.clips ?? [];
    const nameOfSet = (/** @type {"before"|"after"} */ which) => sets[which].parts.map(({ clip }) => clipName(clips.find(({ id }) => id === clip))).join(" + ");
    const usualName = words.bar.usual_name(nameOfSet("before"), nameOfSet("after"));
    render(
      html`${heading(sets.label || usualName)}
        ${bar({
          choice,
          usualName,
          readOnly: store.readOnly,
          some,
          tried,
          say: context.say,
          copy: () => answer && void copyText(context, asText(sets.label || usualName, said(shown), answer, kinds), words.bar.copied),
          csv: () => void saveCsv(sets),
        })}
        ${setsForm({
          ...shown,
          kinds: [...new Set(everything?.measures.map(({ kind }) => kind) ?? kinds)],
          open: state.unfolded,
          unfold: (open) => {
            state.unfolded = open;
          },
          change: (change) => tried(() => choice.change(change)),
        })}
        ${trouble ? html`<p class="notice trouble" role="alert"><span class="notice-message">${trouble.message}</span><span>${trouble.hint}</span></p>` : nothing}
        ${everything && everything.confounders.length > 0 ? confounders(everything) : nothing}
        ${answer && everything ? (some ? answered(sets, answer, everything) : unmarked()) : nothing}
        ${plan(context, { comparison: everything, state: state.plan, redraw: update })}`,
      place,
    );
    pictures.update(place);
  }

  /**
   * What Rust says of the sets: to what is asked, and of every measure. A stretch that ends before it starts gives a
   * trouble instead.
   * @param {Sets} sets
   */
  function compared({ before, after, paired, kinds }) {
    try {
      const answer = store.comparison(before, after, paired, kinds);
      return { answer, everything: store.comparison(before, after, paired, []), trouble: null };
    } catch (error) {
      return { answer: null, everything: null, trouble: troubleFrom(error) };
    }
  }

  /** @param {Sets} sets @param {Comparison} answer @param {Comparison} everything */
  function answered(sets, answer, everything) {
    const { before, after, paired, kinds } = sets;
    const undivided = before.breathing === "all" && after.breathing === "all";
    const only = (/** @type {Breathing} */ breathing) => (undivided ? store.comparison({ ...before, breathing }, { ...after, breathing }, paired, kinds) : null);
    return html`${answer.operator_error === "known" ? nothing : operatorNotKnown()}
      ${board({ comparison: answer, kinds, breathing: only("breathing"), non_breathing: only("non_breathing"), paired, cycles })}
      ${pictures.sections({ comparison: everything, kinds, sets, state: state.pictures, redraw: update })}
      ${table(context, { measures: everything.measures, cycles, state: state.table, redraw: update })}
      <p class="soft small compare-questions">${words.table.questions(everything.questions, answer.questions)}</p>`;
  }

  function unmarked() {
    return html`<section class="numbers-nothing">
      <h2>${words.before_cycles}</h2>
      <p>${words.before_cycles_hint}</p>
      <p><button class="primary" @click=${() => context.navigate("marks")}>${words.to_marks}</button></p>
    </section>`;
  }

  /** On paper it says whose comparison this is. @param {string} name */
  function heading(name) {
    const { athlete, date } = store.openSession();
    return html`<div class="compare-paper-head">
      <p class="compare-paper-title">${name}</p>
      <p>${[athlete.label, date].filter(Boolean).join(", ")}</p>
    </div>`;
  }

  function nothingYet() {
    return html`<section class="numbers-nothing">
      <h2>${words.nothing}</h2>
      <p>${words.nothing_hint}</p>
      <p><button class="primary" @click=${() => context.navigate("clips")}>${words.to_clips}</button></p>
    </section>`;
  }

  /** @param {ClipView} clip */
  function oneClip(clip) {
    const { cycles: counted } = countedCycles(store.marking(clip.id)?.analysis);
    const half = Math.floor(counted.length / 2);
    const halves = () =>
      tried(() => {
        const [before, after] = [wholeClip(clip.id), wholeClip(clip.id)];
        before.parts[0].to = endWith(counted[half - 1], clip.end);
        after.parts[0].from = startFrom(counted[half], clip.first);
        choice.startFrom(setsOf(before, after));
      });
    return html`<section class="numbers-nothing">
      <h2>${words.one_clip}</h2>
      <p>${words.one_clip_hint}</p>
      <p class="actions">
        <button class="primary" @click=${() => context.navigate("clips")}>${words.to_clips}</button>
        <button data-action="halves" ?disabled=${half === 0} @click=${halves}>${words.halves}</button>
      </p>
    </section>`;
  }

  /** @param {import("./types.js").Comparison} comparison */
  function confounders({ confounders: all }) {
    return html`<section class="compare-confounders notice" aria-labelledby="compare-confounders-title">
      <h2 id="compare-confounders-title">${words.confounders}</h2>
      <ul>${all.map(({ kind, message, hint }) => html`<li data-confounder=${kind}><strong>${message}</strong> ${hint}</li>`)}</ul>
    </section>`;
  }

  function operatorNotKnown() {
    return html`<p class="compare-operator" data-caution="operator">
      ${words.operator.not_known} <span class="soft">${words.operator.how}</span>
      <button class="quiet" data-action="mark-again" @click=${() => { askToMarkAgain(); context.navigate("marks"); }}>${words.operator.again}</button>
    </p>`;
  }

  /** @param {Sets} sets */
  async function saveCsv({ label, before, after, paired }) {
    try {
      const { athlete, date } = store.openSession();
      await saveFile({
        bytes: store.comparisonCsv(label, before, after, paired),
        name: fileName(athlete.label, date, "comparison.csv"),
        type: "text/csv",
        description: "wetframe comparison",
      });
    } catch (error) {
      context.notify(error);
    }
  }

  /** @param {() => void} task */
  function tried(task) {
    try {
      task();
    } catch (error) {
      context.notify(error);
    }
    update(); // what was refused shows what holds again
  }

  return {
    update,
    unmount() {
      narrow.removeEventListener("change", update);
      removeEventListener("beforeprint", print);
      removeEventListener("afterprint", shownAgain);
      cycles.close();
      render(nothing, place);
      place.remove();
    },
  };
}
