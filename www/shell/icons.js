// The few pictograms of the frame, drawn on a 20 × 20 grid in the colour of the text beside them.

import { svg } from "../vendor/lit-html/lit-html.js";

/** @param {import("../vendor/lit-html/lit-html.js").TemplateResult} shape */
const icon = (shape) =>
  svg`<svg class="icon" viewBox="0 0 20 20" width="20" height="20" fill="none" stroke="currentColor" stroke-width="1.75" stroke-linecap="round" stroke-linejoin="round" aria-hidden="true">${shape}</svg>`;

export const icons = {
  undo: icon(svg`<path d="M7 4 3 8l4 4"/><path d="M3 8h8a5 5 0 0 1 0 10H8" transform="translate(0 -1)"/>`),
  redo: icon(svg`<path d="m13 4 4 4-4 4"/><path d="M17 8H9a5 5 0 0 0 0 10h3" transform="translate(0 -1)"/>`),
  saved: icon(svg`<circle cx="10" cy="10" r="7.5"/><path d="m6.5 10 2.5 2.5 4.5-5"/>`),
  saving: icon(svg`<circle cx="10" cy="10" r="7.5" stroke-dasharray="3 3"/>`),
  memory_only: icon(svg`<path d="M10 2.5 18 17H2Z"/><path d="M10 8v4M10 14.5v.1"/>`),
  read_only: icon(svg`<rect x="4" y="9" width="12" height="8" rx="1"/><path d="M7 9V6a3 3 0 0 1 6 0v3"/>`),
  guide: icon(svg`<rect x="2.5" y="5.5" width="11" height="9" rx="1.5"/><path d="m13.5 9 4-2.5v7l-4-2.5"/>`),
  keys: icon(svg`<rect x="2" y="5" width="16" height="10" rx="1.5"/><path d="M5 8h.1M8.3 8h.1M11.6 8h.1M15 8h.1M6.5 12h7"/>`),
  dark: icon(svg`<path d="M16.5 12.5A7 7 0 0 1 7.5 3.5a7 7 0 1 0 9 9Z"/>`),
  light: icon(svg`<circle cx="10" cy="10" r="3.5"/><path d="M10 2v1.5M10 16.5V18M2 10h1.5M16.5 10H18M4.3 4.3l1.1 1.1M14.6 14.6l1.1 1.1M4.3 15.7l1.1-1.1M14.6 5.4l1.1-1.1"/>`),
  clips: icon(svg`<rect x="2.5" y="4" width="15" height="12" rx="1.5"/><path d="M6 4v12M14 4v12M2.5 8H6M2.5 12H6M14 8h3.5M14 12h3.5"/>`),
  marks: icon(svg`<path d="M2 6.5h7M12 6.5h6M2 13.5h4M9 13.5h9" stroke-width="4" stroke-linecap="butt"/>`),
  numbers: icon(svg`<path d="M3 17V9M8 17V3M13 17v-6M18 17V6" stroke-width="2.5" stroke-linecap="butt"/>`),
  compare: icon(svg`<circle cx="5.5" cy="6" r="1.6"/><circle cx="5.5" cy="11" r="1.6"/><circle cx="5.5" cy="15.5" r="1.6"/><circle cx="14.5" cy="4" r="1.6"/><circle cx="14.5" cy="8.5" r="1.6"/><circle cx="14.5" cy="13" r="1.6"/>`),
  "hand-over": icon(svg`<path d="M10 3v9M6.5 9 10 12.5 13.5 9M3 13v4h14v-4"/>`),
};
