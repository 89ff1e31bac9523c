// The numbers of the open clip: the board, the wheel, the charts, the table. Draws what Rust computed and listens.
// Not for: arithmetic on measures, or showing frames.

import { html, nothing, render } from "../vendor/lit-html/lit-html.js";
import { numbers as words } from "../words/numbers.js";
import { basis } from "./basis.js";
import { Charts, chartSection } from "./charts.js";
import { figures } from "./figures.js";
import { Frames } from "./frames.js";
import { TableState, table } from "./table.js";
import { putPicture, wheel } from "./wheel.js";

/** @typedef {import("../sitting/types.js").Context} Context */
/** @typedef {import("./types.js").Plots} Plots */

/**
 * @param {HTMLElement} root
 * @param {Context} context
 */
export function mount(root, context) {
  const place = document.createElement("div");
  place.className = "numbers";
  root.append(place);
  const frames = new Frames(context, root);
  const charts = new Charts(frames);
  const state = new TableState();
  /** @type {"left"|"right"} */
  let near = "left";
  let picture = "";

  function update() {
    const { store } = context;
    const marking = store.marking();
    const clip = store.clip;
    if (!clip || !marking) {
      render(nothingYet(words.no_clip, words.no_clip_hint, words.to_clips, () => context.navigate("clips")), place);
      return;
    }
    if (marking.marks.length === 0) {
      render(
        html`${nothingYet(words.no_marks, words.no_marks_hint, words.to_marks, () => context.navigate("marks"))}
          <table class="numbers-needs">
            <tbody>${words.needs.map(({ marks, give }) => html`<tr><th scope="row">${marks}</th><td>${give}</td></tr>`)}</tbody>
          </table>`,
        place,
      );
      return;
    }
    const { analysis, marks } = marking;
    frames.know(marks);
    const plots = /** @type {Plots} */ (store.plots());
    const svg = store.wheel(near, words.wheel.svg);
    const choose = (/** @type {"left"|"right"} */ side) => {
      near = side;
      update();
    };
    const shown = { clip, analysis, marks, measures: store.measures(), frames, plots };
    render(
      html`<h1 class="only-heard">${words.title}</h1>
        <p class="numbers-whose">${words.whose(store.openSession(), clip)}</p>
        ${basis(context, shown)}
        <div class="numbers-first">
          ${figures(shown)}
          ${chartSection("gaps", shown)}
          ${wheel({ clip, analysis, near, svg, choose })}
        </div>
        <div class="numbers-more">${chartSection("phases", shown)} ${chartSection("rates", shown)}</div>
        ${table(context, { ...shown, state, redraw: update })}`,
      place,
    );
    const wheelPlace = place.querySelector(".numbers-wheel-picture");
    if (wheelPlace && (picture !== svg || !wheelPlace.hasChildNodes())) {
      putPicture(wheelPlace, svg);
      picture = svg ?? "";
    }
    charts.update(place, plots);
  }

  return {
    update,
    unmount() {
      charts.close();
      frames.close();
      render(nothing, place);
      place.remove();
    },
  };
}

/**
 * @param {string} what
 * @param {string} hint
 * @param {string} action
 * @param {() => void} go
 */
function nothingYet(what, hint, action, go) {
  return html`<section class="numbers-nothing">
    <h1>${what}</h1>
    <p>${hint}</p>
    <p><button class="primary" @click=${go}>${action}</button></p>
  </section>`;
}
