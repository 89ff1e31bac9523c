// The shapes and textures that tell arms, breathing and phases apart on a canvas, in grey print too.
// Left is filled, right is hollow; a breathing stroke is a diamond, another a circle, one not known a square.

/** @typedef {{ink: string, surface: string, left: string, leftSoft: string, right: string, rightSoft: string}} Colours */

/**
 * One stroke of a chart with its ± bar. Positions in canvas pixels.
 * @param {CanvasRenderingContext2D} ctx
 * @param {{x: number, y: number, span: number[], side: "left"|"right", breathing: boolean|null, colour: Colours, px: number}} what
 */
export function mark(ctx, { x, y, span, side, breathing, colour, px }) {
  const radius = 6 * px;
  ctx.setLineDash([]);
  ctx.strokeStyle = colour[side];
  ctx.lineWidth = 2 * px;
  ctx.beginPath();
  ctx.moveTo(x, span[0]);
  ctx.lineTo(x, span[1]);
  for (const end of span) {
    ctx.moveTo(x - 4 * px, end);
    ctx.lineTo(x + 4 * px, end);
  }
  ctx.stroke();
  ctx.beginPath();
  if (breathing === true) {
    const reach = radius * 1.45;
    ctx.moveTo(x, y - reach);
    ctx.lineTo(x + reach, y);
    ctx.lineTo(x, y + reach);
    ctx.lineTo(x - reach, y);
    ctx.closePath();
  } else if (breathing === false) {
    ctx.arc(x, y, radius, 0, 2 * Math.PI);
  } else {
    ctx.rect(x - radius * 0.9, y - radius * 0.9, radius * 1.8, radius * 1.8);
  }
  ctx.fillStyle = side === "left" ? colour.left : colour.surface;
  ctx.fill();
  ctx.lineWidth = 2.5 * px;
  ctx.stroke();
}

/**
 * The fills of the four phases in the order of the stroke: dots, solid, hatching, empty.
 * @param {string} strong
 * @param {string} soft
 * @returns {(string|CanvasPattern)[]}
 */
export function patterns(strong, soft) {
  const px = devicePixelRatio;
  const tile = (/** @type {(ctx: CanvasRenderingContext2D, size: number) => void} */ draw) => {
    const size = Math.round(8 * px);
    const canvas = document.createElement("canvas");
    canvas.width = canvas.height = size;
    const ctx = canvas.getContext("2d");
    if (!ctx) {
      return strong;
    }
    ctx.fillStyle = soft;
    ctx.fillRect(0, 0, size, size);
    ctx.fillStyle = ctx.strokeStyle = strong;
    draw(ctx, size);
    return ctx.createPattern(canvas, "repeat") ?? strong;
  };
  const dots = tile((ctx, size) => {
    ctx.beginPath();
    ctx.arc(size / 2, size / 2, size * 0.2, 0, 2 * Math.PI);
    ctx.fill();
  });
  const hatching = tile((ctx, size) => {
    ctx.lineWidth = size * 0.36;
    ctx.beginPath();
    // Three strokes, so that the corners of neighbouring tiles meet.
    for (const shift of [-size, 0, size]) {
      ctx.moveTo(shift - size * 0.25, size * 1.25);
      ctx.lineTo(shift + size * 1.25, -size * 0.25);
    }
    ctx.stroke();
  });
  return [dots, strong, hatching, soft];
}
