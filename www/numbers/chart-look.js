// What the charts have in common on the canvas: the theme's colours, axes, and the signs that tell arms and breathing
// apart in grey print too. Left is filled, right is hollow; a breathing stroke is a diamond, another a circle, one
// not known a square.

/** @typedef {ReturnType<typeof colours>} Colours */
/** @typedef {import("../vendor/uplot/uPlot.js")} uPlot */

const FAMILY = '"Source Sans 3", "Segoe UI", sans-serif';
const FONT = `14px ${FAMILY}`;

/** CSS pixels between the margins of an upright A4 or letter page; a canvas does not follow the page by itself. */
export const PAPER_WIDTH = 680;

/** Drawn by hooks, not as a line. */
export const NO_PATH = { paths: () => null, points: { show: false } };

/** No legend or cursor of uPlot's own: both are elements of the page. */
export const QUIET = {
  cursor: { show: false },
  legend: { show: false },
  padding: /** @type {[number, number, number, number]} */ ([12, 12, 0, 0]),
};

/** The theme's colours; in print black on white, whatever the theme. @param {boolean} print */
export function colours(print) {
  const style = getComputedStyle(document.documentElement);
  const of = (/** @type {string} */ token) => style.getPropertyValue(token).trim();
  return print
    ? { ink: "#000", line: "#bbb", surface: "#fff", left: "#222", leftSoft: "#e4e4e4", right: "#777", rightSoft: "#f4f4f4" }
    : {
        ink: of("--ink"),
        line: of("--line"),
        surface: of("--surface-raised"),
        left: of("--arm-left"),
        leftSoft: of("--arm-left-soft"),
        right: of("--arm-right"),
        rightSoft: of("--arm-right-soft"),
      };
}

/** @param {Colours} colour @param {object} more what differs @returns {any} */
export function axis(colour, more) {
  return {
    stroke: colour.ink,
    font: FONT,
    labelFont: FONT,
    labelSize: 20,
    labelGap: 0,
    gap: 3,
    grid: { stroke: colour.line, width: 1 },
    ticks: { stroke: colour.line, width: 1, size: 5 },
    ...more,
  };
}

/** A range with some air, so that no sign stands on the edge. @param {number[]} values @param {number} share */
export function withAir(values, share) {
  const low = Math.min(...values);
  const high = Math.max(...values);
  const air = Math.max((high - low) * share, 1e-3);
  return /** @type {[number, number]} */ ([low - air, high + air]);
}

/**
 * Text that is read on any ground: a rim of the surface's colour under it.
 * @param {CanvasRenderingContext2D} ctx @param {string} text @param {number} x @param {number} y @param {Colours} colour
 */
export function write(ctx, text, x, y, colour) {
  ctx.font = `600 ${14 * devicePixelRatio}px ${FAMILY}`;
  ctx.setLineDash([]);
  ctx.lineJoin = "round";
  ctx.lineWidth = 5 * devicePixelRatio;
  ctx.strokeStyle = colour.surface;
  ctx.strokeText(text, x, y);
  ctx.fillStyle = colour.ink;
  ctx.fillText(text, x, y);
}

/**
 * One stroke with its ± bar.
 * @param {uPlot} u
 * @param {{x: number, figure: import("./types.js").Figure, side: "left"|"right", breathing: boolean|null}} stroke in the plot's units
 * @param {Colours} colour
 */
export function sign(u, { x: at, figure, side, breathing }, colour) {
  const { ctx } = u;
  const px = devicePixelRatio;
  const radius = 5 * px;
  const x = u.valToPos(at, "x", true);
  const [low, y, high] = [-1, 0, 1].map((way) => u.valToPos(figure.value + way * figure.uncertainty, "y", true));
  ctx.save();
  ctx.setLineDash([]);
  ctx.strokeStyle = colour[side];
  ctx.lineWidth = 2 * px;
  ctx.beginPath();
  ctx.moveTo(x, low);
  ctx.lineTo(x, high);
  for (const end of [low, high]) {
    ctx.moveTo(x - 4 * px, end);
    ctx.lineTo(x + 4 * px, end);
  }
  ctx.stroke();
  ctx.beginPath();
  outline(ctx, breathing === null ? "square" : breathing ? "diamond" : "circle", x, y, radius);
  ctx.fillStyle = side === "left" ? colour.left : colour.surface;
  ctx.fill();
  ctx.lineWidth = 2.5 * px;
  ctx.stroke();
  ctx.restore();
}

/**
 * Adds a shape around (x, y) to the path; all look about equally large.
 * @param {CanvasRenderingContext2D} ctx @param {"circle"|"diamond"|"square"} which @param {number} x @param {number} y @param {number} radius
 */
export function outline(ctx, which, x, y, radius) {
  if (which === "circle") {
    ctx.arc(x, y, radius, 0, 2 * Math.PI);
  } else if (which === "diamond") {
    const reach = radius * 1.45;
    ctx.moveTo(x, y - reach);
    ctx.lineTo(x + reach, y);
    ctx.lineTo(x, y + reach);
    ctx.lineTo(x - reach, y);
    ctx.closePath();
  } else {
    ctx.rect(x - radius * 0.9, y - radius * 0.9, radius * 1.8, radius * 1.8);
  }
}
