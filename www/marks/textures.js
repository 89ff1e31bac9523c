// The looks by which the roll tells phases apart without colour: a height and a texture for each, shared by
// the roll and the phase bars of the now column. Canvas patterns, made once per theme.

/** @typedef {import("./shapes.js").Phase} Phase */

/** In the order of the stroke: what comes later is drawn over what comes before. @type {readonly Phase[]} */
export const PHASES = Object.freeze(["entry_and_catch", "pull", "push", "recovery"]);

/** Share of the lane's height: the more the hand drives, the taller. @type {Readonly<Record<Phase, number>>} */
export const PHASE_HEIGHT = Object.freeze({ entry_and_catch: 0.4, pull: 0.74, push: 1, recovery: 0.14 });

/** @typedef {"dots" | "hatch" | "solid" | "open" | "cross" | "rings" | "stripes"} Texture */

/** @type {Readonly<Record<Phase, Texture>>} */
export const PHASE_TEXTURE = Object.freeze({ entry_and_catch: "dots", pull: "hatch", push: "solid", recovery: "open" });

/** The colours the roll draws with, read from the tokens. @typedef {Record<string, string>} Palette */

const TOKENS = [
  "surface", "surface-raised", "surface-sunken", "ink", "ink-soft", "line", "line-strong", "accent", "accent-ink", "focus", "arm-left",
  "arm-left-soft", "arm-right", "arm-right-soft", "drive", "drive-none", "breath", "legs", "flag", "flag-soft",
];

/** @param {Element} element @returns {Palette} */
export function paletteOf(element) {
  const style = getComputedStyle(element);
  return Object.fromEntries(TOKENS.map((token) => [token, style.getPropertyValue(`--${token}`).trim() || "#888"]));
}

/**
 * A repeating texture; its origin is that of the drawing, so translate to the stretch before filling.
 * @param {CanvasRenderingContext2D} context
 * @param {Texture} texture
 * @param {string} ink
 * @param {string} ground
 * @param {number} density device pixels per CSS pixel
 * @returns {CanvasPattern | string}
 */
export function textureFill(context, texture, ink, ground, density) {
  if (texture === "solid") return ink;
  if (texture === "open") return ground;
  const size = texture === "rings" ? 12 : 8;
  const tile = document.createElement("canvas");
  tile.width = Math.round(size * density);
  tile.height = Math.round(size * density);
  const pen = tile.getContext("2d");
  if (!pen) return ground;
  pen.scale(tile.width / size, tile.height / size);
  pen.fillStyle = ground;
  pen.fillRect(0, 0, size, size);
  pen.strokeStyle = ink;
  pen.fillStyle = ink;
  if (texture === "dots") {
    for (const [x, y] of [[2, 2], [6, 6]]) {
      pen.beginPath();
      pen.arc(x, y, 1.3, 0, 2 * Math.PI);
      pen.fill();
    }
  } else if (texture === "rings") {
    pen.lineWidth = 1.6;
    for (const [x, y] of [[3.5, 3.5], [9, 9]]) {
      pen.beginPath();
      pen.arc(x, y, 2.3, 0, 2 * Math.PI);
      pen.stroke();
    }
  } else {
    pen.lineWidth = texture === "stripes" ? 3 : 2;
    const slant = (/** @type {1 | -1} */ way) => {
      for (const shift of [-size, 0, size]) {
        pen.beginPath();
        pen.moveTo(shift - 1, way > 0 ? size + 1 : -1);
        pen.lineTo(shift + size + 1, way > 0 ? -1 : size + 1);
        pen.stroke();
      }
    };
    slant(1);
    if (texture === "cross") slant(-1);
  }
  const pattern = context.createPattern(tile, "repeat");
  if (!pattern) return ground;
  pattern.setTransform(new DOMMatrix().scale(size / tile.width, size / tile.height));
  return pattern;
}
