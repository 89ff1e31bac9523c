// How the picture lies in its stage: magnified, moved and turned by CSS transforms, never redrawn.
//
// Not for: which frame is shown. The canvas keeps the clip's own pixels; beyond twice its size each pixel is
// drawn as a square, so that nothing is seen that was not filmed.

/** Magnifications relative to the picture fitted into its stage. */
const LEAST = 1;
const MOST = 32;
/** One key press or one notch of a wheel. */
const KEY_STEP = 1.25;
/** Screen pixels for one clip pixel from which on pixels are drawn as squares. */
const CRISP_FROM = 2;
/** A finger's way for one frame, CSS pixels. */
const DRAG_PER_FRAME_PX = 12;
/** Movement below which a press is a tap. */
const TAP_PX = 6;

/**
 * Events: "step" {detail: number of frames} while a finger drags over the picture, "change" when the view
 * was magnified, moved or turned.
 */
export class Picture extends EventTarget {
  /** Whether a drag with one finger on the unmagnified picture steps frames. */
  dragSteps = true;
  #magnification = 1;
  #x = 0;
  #y = 0;
  #turn_deg = 0;
  /** @type {Map<number, {x: number, y: number}>} */
  #pointers = new Map();
  #dragged_px = 0;
  #observer;
  #mutations;
  #stop = new AbortController();

  /**
   * @param {HTMLElement} stage what the picture is seen through; it is given the styles that this needs
   * @param {HTMLCanvasElement} canvas a child of the stage
   */
  constructor(stage, canvas) {
    super();
    this.stage = stage;
    this.canvas = canvas;
    Object.assign(stage.style, { overflow: "hidden", position: "relative", touchAction: "none" });
    Object.assign(canvas.style, { position: "absolute", left: "50%", top: "50%", transformOrigin: "center", maxWidth: "none", maxHeight: "none" });
    this.#observer = new ResizeObserver(() => this.#lay());
    this.#observer.observe(stage);
    // The clip's own size changes with the clip.
    this.#mutations = new MutationObserver(() => this.#lay());
    this.#mutations.observe(canvas, { attributes: true, attributeFilter: ["width", "height"] });
    const { signal } = this.#stop;
    stage.addEventListener("wheel", (event) => this.#wheel(event), { signal, passive: false });
    stage.addEventListener("pointerdown", (event) => this.#down(event), { signal });
    stage.addEventListener("pointermove", (event) => this.#move(event), { signal });
    stage.addEventListener("pointerup", (event) => this.#up(event), { signal });
    stage.addEventListener("pointercancel", (event) => this.#up(event), { signal });
    stage.addEventListener("dblclick", () => this.reset(), { signal });
    this.#lay();
  }

  /** 1 when the whole picture just fits. */
  get magnification() {
    return this.#magnification;
  }

  /** Screen pixels for one pixel of the clip. */
  get screenPixelsPerClipPixel() {
    return this.#fit * this.#magnification * devicePixelRatio;
  }

  /** 0, 90, 180 or 270, clockwise, beyond what the clip asks for. */
  get turn_deg() {
    return this.#turn_deg;
  }

  /** @param {number} [steps] negative: smaller */
  zoom(steps = 1) {
    const box = this.stage.getBoundingClientRect();
    this.#zoomBy(KEY_STEP ** steps, box.left + box.width / 2, box.top + box.height / 2);
  }

  /** Moves the picture by parts of the stage's size. @param {number} right @param {number} down */
  pan(right, down) {
    this.#x += right * this.stage.clientWidth;
    this.#y += down * this.stage.clientHeight;
    this.#changed();
  }

  /** Turns the picture by quarter turns, clockwise. @param {number} [quarters] */
  turn(quarters = 1) {
    this.#turn_deg = (((this.#turn_deg + quarters * 90) % 360) + 360) % 360;
    [this.#x, this.#y] = [0, 0];
    this.#changed();
  }

  /** The whole picture, in the middle; a turn stays. */
  reset() {
    this.#magnification = 1;
    [this.#x, this.#y] = [0, 0];
    this.#changed();
  }

  /** Lies as another picture does in its stage: as large, moved by as much of the stage; told to nobody. @param {Picture} other */
  lieAs(other) {
    this.#magnification = other.#magnification;
    this.#x = other.#x * (this.stage.clientWidth / Math.max(other.stage.clientWidth, 1));
    this.#y = other.#y * (this.stage.clientHeight / Math.max(other.stage.clientHeight, 1));
    this.#lay();
  }

  /** Stops listening; the canvas keeps no trace. */
  remove() {
    this.#stop.abort();
    this.#observer.disconnect();
    this.#mutations.disconnect();
    for (const property of ["position", "left", "top", "transformOrigin", "maxWidth", "maxHeight", "transform", "imageRendering"]) {
      this.canvas.style.removeProperty(property.replace(/[A-Z]/g, (letter) => `-${letter.toLowerCase()}`));
    }
  }

  /** CSS pixels for one clip pixel when the turned picture just fits. */
  get #fit() {
    const isTurned = this.#turn_deg % 180 !== 0;
    const width = isTurned ? this.canvas.height : this.canvas.width;
    const height = isTurned ? this.canvas.width : this.canvas.height;
    if (width === 0 || height === 0) return 1;
    return Math.min(this.stage.clientWidth / width, this.stage.clientHeight / height) || 1;
  }

  #lay() {
    const { canvas, stage } = this;
    const isTurned = this.#turn_deg % 180 !== 0;
    const scale = this.#fit * this.#magnification;
    const width = (isTurned ? canvas.height : canvas.width) * scale;
    const height = (isTurned ? canvas.width : canvas.height) * scale;
    // The picture's edge never comes further inside than the stage's.
    const roomX = Math.max(0, (width - stage.clientWidth) / 2);
    const roomY = Math.max(0, (height - stage.clientHeight) / 2);
    this.#x = Math.min(Math.max(this.#x, -roomX), roomX);
    this.#y = Math.min(Math.max(this.#y, -roomY), roomY);
    canvas.style.transform = `translate(-50%, -50%) translate(${this.#x}px, ${this.#y}px) rotate(${this.#turn_deg}deg) scale(${scale})`;
    canvas.style.imageRendering = this.screenPixelsPerClipPixel > CRISP_FROM ? "pixelated" : "auto";
  }

  #changed() {
    this.#lay();
    this.dispatchEvent(new Event("change"));
  }

  /** Magnifies so that the point under the hand stays. @param {number} factor @param {number} clientX @param {number} clientY */
  #zoomBy(factor, clientX, clientY) {
    const before = this.#magnification;
    this.#magnification = Math.min(Math.max(before * factor, LEAST), MOST);
    const grown = this.#magnification / before;
    const box = this.stage.getBoundingClientRect();
    const fromMiddleX = clientX - box.left - box.width / 2;
    const fromMiddleY = clientY - box.top - box.height / 2;
    this.#x = fromMiddleX - (fromMiddleX - this.#x) * grown;
    this.#y = fromMiddleY - (fromMiddleY - this.#y) * grown;
    this.#changed();
  }

  /** @param {WheelEvent} event */
  #wheel(event) {
    event.preventDefault();
    const notch_px = event.deltaMode === WheelEvent.DOM_DELTA_PIXEL ? 100 : 3;
    // A pinch on a touchpad comes as a wheel with the control key, in small deltas.
    const notches = event.deltaY / (event.ctrlKey ? notch_px / 4 : notch_px);
    this.#zoomBy(KEY_STEP ** -notches, event.clientX, event.clientY);
  }

  /** @param {PointerEvent} event */
  #down(event) {
    if (event.pointerType === "mouse" && event.button !== 0) return;
    this.stage.setPointerCapture(event.pointerId);
    this.#pointers.set(event.pointerId, { x: event.clientX, y: event.clientY });
    this.#dragged_px = 0;
  }

  /** @param {PointerEvent} event */
  #move(event) {
    const before = this.#pointers.get(event.pointerId);
    if (before === undefined) return;
    const now = { x: event.clientX, y: event.clientY };
    const other = [...this.#pointers].find(([id]) => id !== event.pointerId)?.[1];
    this.#pointers.set(event.pointerId, now);
    if (other !== undefined) this.#pinch(before, now, other);
    else if (event.pointerType === "mouse" || this.#magnification > 1 || !this.dragSteps) {
      if (this.#magnification > 1) this.#moveBy(now.x - before.x, now.y - before.y);
    } else {
      this.#dragFrames(now.x - before.x);
    }
  }

  /** @param {PointerEvent} event */
  #up(event) {
    this.#pointers.delete(event.pointerId);
  }

  /** @typedef {{x: number, y: number}} Point */

  /** @param {Point} before @param {Point} now @param {Point} other */
  #pinch(before, now, other) {
    const apartBefore = Math.hypot(before.x - other.x, before.y - other.y);
    const apartNow = Math.hypot(now.x - other.x, now.y - other.y);
    // First larger, then aside: a picture that just fits has no room to be moved.
    if (apartBefore > 0) this.#zoomBy(apartNow / apartBefore, (before.x + other.x) / 2, (before.y + other.y) / 2);
    this.#moveBy((now.x - before.x) / 2, (now.y - before.y) / 2);
  }

  /** @param {number} right_px @param {number} down_px */
  #moveBy(right_px, down_px) {
    this.#x += right_px;
    this.#y += down_px;
    this.#changed();
  }

  /** @param {number} right_px */
  #dragFrames(right_px) {
    const before = framesOf(this.#dragged_px);
    this.#dragged_px += right_px;
    const frames = framesOf(this.#dragged_px) - before;
    if (frames !== 0) this.dispatchEvent(new CustomEvent("step", { detail: frames }));
  }
}

/** @param {number} dragged_px */
function framesOf(dragged_px) {
  return Math.abs(dragged_px) < TAP_PX ? 0 : Math.round(dragged_px / DRAG_PER_FRAME_PX);
}
