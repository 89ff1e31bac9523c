// Draws a picture upright on the canvas: decoders ignore the rotation that the container asks for.

/**
 * @typedef {object} UprightSize
 * @property {number} width of the upright picture, pixels
 * @property {number} height
 * @property {number} rotation_deg 0, 90, 180 or 270, clockwise, to be applied for display
 */

/**
 * Fills the canvas with the picture turned by `rotation_deg`. A picture of another shape than the clip's
 * (some clips change size on the way) is fitted in, not stretched.
 *
 * @param {CanvasRenderingContext2D} context
 * @param {VideoFrame} picture
 * @param {UprightSize} size
 */
export function drawUpright(context, picture, size) {
  const isTurned = size.rotation_deg % 180 !== 0;
  const across = isTurned ? size.height : size.width;
  const down = isTurned ? size.width : size.height;
  context.setTransform(1, 0, 0, 1, 0, 0);
  context.translate(size.width / 2, size.height / 2);
  context.rotate((size.rotation_deg * Math.PI) / 180);
  const scale = Math.min(across / picture.displayWidth, down / picture.displayHeight);
  // A rounding of a pixel in the container's display size is not a change of shape.
  const fits = Math.abs(picture.displayWidth * scale - across) < 2 && Math.abs(picture.displayHeight * scale - down) < 2;
  const width = fits ? across : picture.displayWidth * scale;
  const height = fits ? down : picture.displayHeight * scale;
  if (!fits) {
    context.fillStyle = "black";
    context.fillRect(-across / 2, -down / 2, across, down);
  }
  context.drawImage(picture, -width / 2, -height / 2, width, height);
}
