// The sign of a mark: its shape says what happened, its filling says which side.
//
// Left is filled, right is hollow, both is half filled.

/** @typedef {import("./shapes.js").MarkKind} MarkKind */
/** @typedef {import("./shapes.js").Side} Side */

/** Outlines around (0, 0), one unit is half the sign's size; y points down. @type {Readonly<Record<MarkKind, readonly (readonly [number, number])[]>>} */
const OUTLINES = Object.freeze({
  // Into the water; the hand takes hold; below the shoulder; out of the water.
  entry: [[-1, -0.8], [1, -0.8], [0, 1]],
  catch: [[0, -1.1], [1.1, 0], [0, 1.1], [-1.1, 0]],
  mid_pull: [[-0.85, -0.85], [0.85, -0.85], [0.85, 0.85], [-0.85, 0.85]],
  exit: [[-1, 0.8], [1, 0.8], [0, -1]],
  exhale_start: ring(8),
  face_turn: [[-0.7, -1], [1, 0], [-0.7, 1]],
  mouth_clear: [[-0.35, -1], [0.35, -1], [0.35, -0.35], [1, -0.35], [1, 0.35], [0.35, 0.35], [0.35, 1], [-0.35, 1], [-0.35, 0.35], [-1, 0.35], [-1, -0.35], [-0.35, -0.35]],
  face_return: [[0.7, -1], [-1, 0], [0.7, 1]],
  kick_out_start: [[0.8, -1], [-0.8, 0], [0.8, 1], [0.2, 0]],
  kick_out_end: [[-0.8, -1], [0.8, 0], [-0.8, 1], [-0.2, 0]],
  downbeat: [[-1, 0.3], [1, 0.3], [1, 1], [-1, 1]],
  pass: [[-0.25, -1.2], [0.25, -1.2], [0.25, 1.2], [-0.25, 1.2]],
});

/** @param {number} corners @returns {[number, number][]} */
function ring(corners) {
  return Array.from({ length: corners }, (_, corner) => {
    const angle = (2 * Math.PI * (corner + 0.5)) / corners;
    return [Math.cos(angle), Math.sin(angle)];
  });
}

/**
 * @param {CanvasRenderingContext2D} pen
 * @param {{kind: MarkKind, side: Side | null}} mark
 * @param {number} x
 * @param {number} y
 * @param {number} half half the sign's size
 * @param {string} ink
 * @param {string} ground
 */
export function drawSign(pen, mark, x, y, half, ink, ground) {
  pen.beginPath();
  OUTLINES[mark.kind].forEach(([unitX, unitY], corner) => {
    if (corner === 0) pen.moveTo(x + unitX * half, y + unitY * half);
    else pen.lineTo(x + unitX * half, y + unitY * half);
  });
  pen.closePath();
  pen.lineWidth = 1.8;
  pen.lineJoin = "round";
  pen.strokeStyle = ink;
  pen.fillStyle = mark.side === "right" ? ground : ink;
  pen.fill();
  pen.stroke();
  if (mark.side === "both") {
    pen.save();
    pen.clip();
    pen.fillStyle = ground;
    pen.fillRect(x, y - half, half, 2 * half);
    pen.restore();
    pen.stroke();
  }
}

/** The same outline for SVG, in a box from −1.4 to 1.4. @param {MarkKind} kind */
export function signPoints(kind) {
  return OUTLINES[kind].map(([x, y]) => `${x.toFixed(2)},${y.toFixed(2)}`).join(" ");
}
