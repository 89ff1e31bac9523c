// A place on the screen where a picture is seen: magnified and moved by the player's own hands, drawn over steps frames.
//
// Not for: what is drawn on it.

import { jogByDragging } from "../marks/picture-hands.js";
import { Picture } from "../player/picture.js";

export class Screen {
  /** What is seen on it, in the picture's own pixels. */
  canvas = document.createElement("canvas");
  /** What it is seen through. */
  stage = document.createElement("div");
  /** While points are picked, a drag is no step. */
  #steps = true;

  /**
   * @param {object} hands
   * @param {(frames: number) => void} hands.step a finger was drawn over the picture
   * @param {() => number} hands.place where the mouse starts from
   * @param {(place: number) => void} hands.goTo the mouse was drawn over the picture
   */
  constructor({ step, place, goTo }) {
    this.stage.className = "together-stage";
    this.stage.append(this.canvas);
    this.picture = new Picture(this.stage, this.canvas);
    this.picture.addEventListener("step", (event) => step(/** @type {CustomEvent} */ (event).detail));
    this.stopDragging = jogByDragging(this.stage, {
      frame: place,
      to: goTo,
      isMagnified: () => !this.#steps || this.picture.magnification > 1,
    });
  }

  get steps() {
    return this.#steps;
  }

  set steps(steps) {
    this.#steps = steps;
    this.picture.dragSteps = steps;
  }

  /**
   * Draws anew.
   * @param {number} width of the picture, pixels
   * @param {number} height
   * @param {(pen: CanvasRenderingContext2D) => void} draw
   */
  put(width, height, draw) {
    const { canvas } = this;
    if (canvas.width !== width) canvas.width = width;
    if (canvas.height !== height) canvas.height = height;
    this.stage.style.setProperty("--picture", `${width} / ${height}`);
    const pen = canvas.getContext("2d", { alpha: false });
    if (!pen) return;
    pen.setTransform(1, 0, 0, 1, 0, 0);
    pen.globalAlpha = 1;
    draw(pen);
  }

  /** Nothing is seen. */
  clear() {
    this.put(this.canvas.width, this.canvas.height, (pen) => {
      pen.fillStyle = "black";
      pen.fillRect(0, 0, this.canvas.width, this.canvas.height);
    });
  }

  close() {
    this.stopDragging();
    this.picture.remove();
  }
}
