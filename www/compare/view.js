// The comparison: one switch between its faces, of which the address remembers the one shown. Not for: what a face
// shows.

import { html, nothing, render } from "../vendor/lit-html/lit-html.js";
import { compare as words } from "../words/compare.js";
import { FACES } from "./faces.js";

/** @typedef {import("../sitting/types.js").Context} Context */
/** @typedef {import("../sitting/types.js").View} View */

/**
 * @param {HTMLElement} root
 * @param {Context} context
 * @returns {View}
 */
export function mount(root, context) {
  const head = document.createElement("div");
  head.className = "compare-head";
  root.append(head);
  /** @type {{name: string, place: HTMLElement, view: View|null}|null} */
  let shown = null;

  function update() {
    const wanted = FACES.find(({ name }) => name === context.place().face) ?? FACES[0];
    render(
      html`<h1 class="only-heard">${words.title}</h1>
        ${FACES.length < 2
          ? nothing
          : html`<div class="compare-faces" role="group" aria-label=${words.faces_label}>
              ${FACES.map(
                ({ name }) => html`<button
                  type="button"
                  data-face=${name}
                  aria-pressed=${name === wanted.name}
                  @click=${() => context.navigate("compare", { face: name })}
                >${words.faces[name]}</button>`,
              )}
            </div>`}`,
      head,
    );
    if (shown?.name === wanted.name) {
      shown.view?.update();
    } else {
      void turnTo(wanted);
    }
  }

  /** @param {typeof FACES[number]} face */
  async function turnTo({ name, load }) {
    leave();
    // A root of its own for every face, as the page gives every view one.
    const place = document.createElement("div");
    place.className = "compare-face";
    place.dataset.face = name;
    root.append(place);
    const turned = { name, place, view: /** @type {View|null} */ (null) };
    shown = turned;
    try {
      const { mount } = await load();
      if (shown !== turned) return; // the coach turned on while it loaded
      turned.view = mount(place, context);
      turned.view.update();
    } catch (error) {
      context.notify(error);
    }
  }

  function leave() {
    shown?.view?.unmount();
    shown?.place.remove();
    shown = null;
  }

  return {
    update,
    receive: (files) => shown?.view?.receive?.(files) ?? false,
    unmount() {
      leave();
      render(nothing, head);
      head.remove();
    },
  };
}
