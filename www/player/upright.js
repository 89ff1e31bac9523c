// Draws a picture upright on the canvas, with square pixels: decoders ignore the rotation and the pixel
// shape that the container asks for.

/**
 * @typedef {object} Shape
 * @property {number} coded_width pixels, as stored
 * @property {number} coded_height
 * @property {number} rotation_deg 0, 90, 180 or 270, clockwise, to be applied for display
 * @property {{horizontal: number, vertical: number}} pixel_aspect width to height of one stored pixel
 */

/**
 * Size of the upright picture in square pixels. Oblong pixels are stretched, never shrunk: nothing is lost.
 *
 * @param {Shape} shape
 */
export function uprightSize(shape) {
  const { width, height } = squareSize(shape.coded_width, shape.coded_height, shape.pixel_aspect);
  return shape.rotation_deg % 180 === 0 ? { width, height } : { width: height, height: width };
}

/**
 * Fills the canvas with the picture, turned. A picture of another shape than the clip's (some clips change
 * size on the way) is fitted in, not stretched.
 *
 * @param {CanvasRenderingContext2D} context
 * @param {VideoFrame | ImageBitmap} picture
 * @param {Shape} shape
 */
export function drawUpright(context, picture, shape) {
  const { width: canvasWidth, height: canvasHeight } = context.canvas;
  const isTurned = shape.rotation_deg % 180 !== 0;
  const across = isTurned ? canvasHeight : canvasWidth;
  const down = isTurned ? canvasWidth : canvasHeight;
  const stored = storedSize(picture);
  const natural = squareSize(stored.width, stored.height, shape.pixel_aspect);
  const scale = Math.min(across / natural.width, down / natural.height);
  // Decoders crop a few padding pixels that the container counts: no change of shape.
  const fills = natural.width * scale > across * 0.98 && natural.height * scale > down * 0.98;
  const width = fills ? across : natural.width * scale;
  const height = fills ? down : natural.height * scale;
  context.setTransform(1, 0, 0, 1, 0, 0);
  context.translate(canvasWidth / 2, canvasHeight / 2);
  context.rotate((shape.rotation_deg * Math.PI) / 180);
  if (!fills) {
    context.fillStyle = "black";
    context.fillRect(-across / 2, -down / 2, across, down);
  }
  context.drawImage(picture, -width / 2, -height / 2, width, height);
}

/** Size in stored pixels. @param {VideoFrame | ImageBitmap} picture */
function storedSize(picture) {
  if ("width" in picture) return picture;
  return picture.visibleRect ?? { width: picture.codedWidth, height: picture.codedHeight };
}

/** @param {number} width @param {number} height @param {{horizontal: number, vertical: number}} aspect */
function squareSize(width, height, { horizontal, vertical }) {
  return horizontal >= vertical
    ? { width: Math.round((width * horizontal) / vertical), height }
    : { width, height: Math.round((height * vertical) / horizontal) };
}
