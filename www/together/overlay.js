// One picture laid over the other: whether that makes sense, and the drawing of it.
//
// Not for: how the upper is moved, turned and scaled (Rust, by two points on each).

/** @typedef {import("./shapes.js").LowerFromUpper} LowerFromUpper */
/** @typedef {import("../sitting/types.js").ClipView} ClipView */

/**
 * Why two clips are not laid over each other; null where they may be.
 * @param {ClipView} first
 * @param {ClipView} second
 * @returns {"not_stated"|"differ"|null}
 */
export function whyNotOver(first, second) {
  if (first.id === second.id) return null;
  if (first.view === null || second.view === null) return "not_stated";
  return first.view === second.view ? null : "differ";
}

/**
 * @param {import("./screen.js").Screen} screen
 * @param {HTMLCanvasElement} lower
 * @param {HTMLCanvasElement} upper
 * @param {LowerFromUpper} lowerFromUpper
 * @param {number} opacity of the upper, 0 to 1
 */
export function drawOver(screen, lower, upper, lowerFromUpper, opacity) {
  const { along, across, right, down } = lowerFromUpper;
  screen.put(lower.width, lower.height, (pen) => {
    pen.drawImage(lower, 0, 0);
    pen.globalAlpha = opacity;
    pen.setTransform(along, across, -across, along, right, down);
    pen.drawImage(upper, 0, 0);
  });
}
