// Turns a decoder's frame into one that may be kept.
//
// A decoder owns few frames and stalls when they stay open (w3c/webcodecs issue 612), so the planes are
// copied out and the decoder's frame is closed at once. Frames that live on the graphics card alone
// (`format` null) or in a format that cannot be made again from its bytes are drawn on a canvas instead.

/** @typedef {import("./ring.js").HeldFrame} HeldFrame */

export class FrameHolder {
  /**
   * @param {{takeBuffer: (bytes: number) => ArrayBuffer, giveBuffer: (buffer: ArrayBuffer) => void}} buffers
   * @param {"planes" | "canvas"} way canvas: do not even try the planes
   */
  constructor(buffers, way = "planes") {
    this.buffers = buffers;
    this.way = way;
  }

  /**
   * Copies the frame and closes it, whatever happens.
   *
   * @param {VideoFrame} frame
   * @returns {Promise<HeldFrame>}
   */
  async hold(frame) {
    try {
      if (this.way === "planes" && frame.format !== null) {
        const held = await this.#holdPlanes(frame);
        if (held !== null) return held;
      }
      this.way = "canvas";
      return holdCanvas(frame);
    } finally {
      frame.close();
    }
  }

  /**
   * @param {VideoFrame} frame
   * @returns {Promise<HeldFrame | null>} null where the browser cannot make a picture of these planes
   */
  async #holdPlanes(frame) {
    let buffer = null;
    try {
      buffer = this.buffers.takeBuffer(frame.allocationSize());
      const layout = await frame.copyTo(buffer);
      const init = initOf(frame, layout);
      // Once made, the first frame of a format proves that all of them can be made.
      if (this.proven !== frame.format) {
        new VideoFrame(buffer, init).close();
        this.proven = frame.format;
      }
      const kept = buffer;
      return { bytes: kept.byteLength, buffer: kept, show: () => new VideoFrame(kept, init), drop: () => {} };
    } catch (error) {
      if (buffer !== null) this.buffers.giveBuffer(buffer);
      if (isFormatTrouble(error)) return null;
      throw error;
    }
  }

  /** @type {string | null} */
  proven = null;
}

/**
 * @param {VideoFrame} frame
 * @param {PlaneLayout[]} layout
 * @returns {VideoFrameBufferInit}
 */
function initOf(frame, layout) {
  const visible = frame.visibleRect;
  return {
    format: /** @type {VideoPixelFormat} */ (frame.format),
    codedWidth: visible?.width ?? frame.codedWidth,
    codedHeight: visible?.height ?? frame.codedHeight,
    colorSpace: frame.colorSpace.toJSON(),
    timestamp: frame.timestamp,
    layout,
  };
}

/**
 * @param {VideoFrame} frame
 * @returns {HeldFrame}
 */
function holdCanvas(frame) {
  const width = frame.visibleRect?.width ?? frame.displayWidth;
  const height = frame.visibleRect?.height ?? frame.displayHeight;
  const canvas = new OffscreenCanvas(width, height);
  const context = canvas.getContext("2d", { alpha: false });
  if (context === null) throw new DOMException("no canvas to keep a frame on", "NotSupportedError");
  context.drawImage(frame, 0, 0, width, height);
  const kept = new VideoFrame(canvas, { timestamp: frame.timestamp });
  return { bytes: width * height * 4, buffer: null, show: () => kept.clone(), drop: () => kept.close() };
}

/** @param {unknown} error */
function isFormatTrouble(error) {
  return error instanceof TypeError
    || (error instanceof DOMException && (error.name === "NotSupportedError" || error.name === "OperationError"));
}
