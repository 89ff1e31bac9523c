// The sheet of keys as a page of its own, reachable from anywhere: the marking view's own sheet, framed.

import { html, nothing, render } from "../vendor/lit-html/lit-html.js";
import { KeySheet } from "../marks/key-sheet.js";
import { Keyboard } from "../marks/keyboard.js";
import { shell as words } from "../words.js";

/**
 * @param {HTMLElement} root
 * @returns {import("../sitting/types.js").View}
 */
export function mount(root) {
  const sheet = new KeySheet(new Keyboard(deviceStorage()), draw, () => history.back());
  draw();
  return { update: draw, unmount: () => render(nothing, root) };

  function draw() {
    render(html`<div class="sheet"><h1 class="only-heard">${words.keys}</h1>${sheet.template()}</div>`, root);
  }
}

/** @returns {Storage|null} null where the browser keeps nothing for the page */
function deviceStorage() {
  try {
    return window.localStorage;
  } catch {
    return null; // said once for the whole page (sitting/storage.js); changed keys last until the tab closes
  }
}
