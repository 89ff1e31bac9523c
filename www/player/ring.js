// Decoded frames kept at hand, bounded by bytes, so that a step inside them costs a draw.
//
// Not for: deciding what to decode (decoder-source.js does). Buffers of dropped frames are used again,
// since a new 3 MB buffer for each 1080p frame makes the collector stall the page.

/**
 * @typedef {object} HeldFrame
 * @property {number} bytes what it occupies
 * @property {() => VideoFrame} show a new picture of it, to be closed by whoever draws it
 * @property {ArrayBuffer | null} buffer its memory, to be used again once it is dropped
 * @property {() => void} drop gives back whatever the browser holds for it
 */

/** Spare buffers beyond this many are left to the collector. */
const MOST_SPARE = 4;

export class Ring {
  /** @type {Map<number, HeldFrame>} */
  #held = new Map();
  /** @type {ArrayBuffer[]} */
  #spare = [];
  #bytes = 0;

  /** @param {number} budgetBytes */
  constructor(budgetBytes) {
    this.budgetBytes = budgetBytes;
  }

  /** Bytes held now, spare buffers included. */
  get bytes() {
    return this.#bytes + this.#spare.reduce((sum, buffer) => sum + buffer.byteLength, 0);
  }

  /** How many frames are held. */
  get size() {
    return this.#held.size;
  }

  /** @param {number} frame */
  has(frame) {
    return this.#held.has(frame);
  }

  /** @param {number} frame */
  get(frame) {
    return this.#held.get(frame) ?? null;
  }

  /** A buffer of exactly that many bytes. @param {number} byteLength */
  takeBuffer(byteLength) {
    const found = this.#spare.findIndex((buffer) => buffer.byteLength === byteLength);
    return found >= 0 ? this.#spare.splice(found, 1)[0] : new ArrayBuffer(byteLength);
  }

  /** Gives a buffer back that no frame uses. @param {ArrayBuffer} buffer */
  giveBuffer(buffer) {
    if (this.#spare.length >= MOST_SPARE) this.#spare.shift();
    this.#spare.push(buffer);
  }

  /**
   * Keeps a frame, and drops the most distant ones until the budget is kept again; never the nearest.
   *
   * @param {number} frame
   * @param {HeldFrame} held
   * @param {(frame: number) => number} distanceOf how far a frame is from being wanted
   */
  put(frame, held, distanceOf) {
    this.#drop(frame);
    this.#held.set(frame, held);
    this.#bytes += held.bytes;
    while (this.#bytes > this.budgetBytes && this.#held.size > 1) {
      let farthest = frame;
      let distance = -1;
      for (const candidate of this.#held.keys()) {
        const candidateDistance = distanceOf(candidate);
        if (candidateDistance > distance) [farthest, distance] = [candidate, candidateDistance];
      }
      this.#drop(farthest);
    }
  }

  /** Drops everything. */
  clear() {
    for (const frame of [...this.#held.keys()]) this.#drop(frame);
    this.#spare = [];
  }

  /** @param {number} frame */
  #drop(frame) {
    const held = this.#held.get(frame);
    if (held === undefined) return;
    this.#held.delete(frame);
    this.#bytes -= held.bytes;
    if (held.buffer !== null) this.giveBuffer(held.buffer);
    held.drop();
  }
}
