// A drawing for the first screen: two arms and the band that shows whether any of them propels, with its hole. It
// shows what the page is about; it holds no figures, since nothing was measured yet.

import { html, svg } from "../vendor/lit-html/lit-html.js";
import { clips as words } from "../words.js";

/** One arm's propulsion and the other's, as shares of the drawing's width; the gaps lie between them. */
const LEFT = [[0.02, 0.2], [0.52, 0.7]];
const RIGHT = [[0.25, 0.44], [0.77, 0.96]];
const WIDTH = 420;

export function pictureOfRhythm() {
  return html`
    <figure class="rhythm">
      ${svg`<svg viewBox="0 0 ${WIDTH} 132" role="img" aria-label=${words.rhythm_label}>
        ${lane(LEFT, 8, 26, "var(--arm-left)")}
        ${lane(RIGHT, 44, 26, "var(--arm-right)")}
        ${lane([...LEFT, ...RIGHT], 86, 38, "var(--drive)")}
        ${hole(0.44, 0.52)}
      </svg>`}
      <figcaption class="small soft">${words.rhythm_caption}</figcaption>
    </figure>
  `;
}

/** @param {number[][]} stretches @param {number} y @param {number} height @param {string} fill */
function lane(stretches, y, height, fill) {
  return svg`
    <path d="M0 ${y + height / 2}H${WIDTH}" stroke="var(--line)"></path>
    ${stretches.map(([from, to]) => svg`<rect x=${from * WIDTH} y=${y} width=${(to - from) * WIDTH} height=${height} fill=${fill}></rect>`)}
  `;
}

/** @param {number} from @param {number} to */
function hole(from, to) {
  return svg`<rect x=${from * WIDTH} y="86" width=${(to - from) * WIDTH} height="38" fill="var(--drive-none)" stroke="var(--ink)" stroke-width="1.5" stroke-dasharray="3 3"></rect>`;
}
