// Two reference points on a picture, picked by mouse, touch or keyboard, and a loupe for them.
//
// Not for: what follows from them (Rust).

import { together as words } from "../words/together.js";

/** @typedef {import("./shapes.js").TwoPoints} TwoPoints */
/** @typedef {import("./shapes.js").Point} Point */

/** Picture pixels across the loupe, an odd number: one lies in the middle. */
const LOUPE_PIXELS = 25;
/** Screen pixels for one of them. */
const LOUPE_SCALE = 6;
/** Movement below which a press is a tap, CSS pixels. */
const TAP_PX = 6;
/** A key with Shift moves so many pixels. */
const FAR_PX = 10;

/** @type {Readonly<Record<string, [number, number]>>} */
const MOVES = Object.freeze({ ArrowLeft: [-1, 0], ArrowRight: [1, 0], ArrowUp: [0, -1], ArrowDown: [0, 1] });

/** Two points that a picture starts with. @param {number} width @param {number} height @returns {TwoPoints} */
export function usualPoints(width, height) {
  return [{ x: Math.round(width * 0.25), y: Math.round(height / 2) }, { x: Math.round(width * 0.75), y: Math.round(height / 2) }];
}

export class Points {
  #listening = new AbortController();
  /** @type {HTMLButtonElement[]} */
  handles = [];

  /**
   * @param {object} what
   * @param {import("./screen.js").Screen} what.screen
   * @param {string} what.name the clip's, for the ear
   * @param {TwoPoints} what.points
   * @param {(points: TwoPoints) => void} what.changed
   * @param {(place: number) => void} what.taken told which of the two is in the hand: 0 or 1
   */
  constructor({ screen, name, points, changed, taken }) {
    this.screen = screen;
    this.name = name;
    /** @type {TwoPoints} */
    this.points = points;
    this.changed = changed;
    this.taken = taken;
    const { signal } = this.#listening;
    this.handles = [0, 1].map((place) => this.#handle(place, signal));
    screen.stage.append(...this.handles);
    screen.picture.addEventListener("change", () => this.lay(), { signal });
    const sized = new ResizeObserver(() => this.lay());
    sized.observe(screen.stage);
    signal.addEventListener("abort", () => sized.disconnect());
    /** @type {{x: number, y: number}|null} */
    let down = null;
    screen.stage.addEventListener("pointerdown", (event) => { down = { x: event.clientX, y: event.clientY }; }, { signal });
    screen.stage.addEventListener("pointerup", (event) => {
      const tapped = down && Math.hypot(event.clientX - down.x, event.clientY - down.y) < TAP_PX;
      down = null;
      if (tapped) this.#tap(event);
    }, { signal });
    this.lay();
  }

  /** Puts the handles where their points lie on the screen. */
  lay() {
    const { stage, canvas } = this.screen;
    const outer = stage.getBoundingClientRect();
    const inner = canvas.getBoundingClientRect();
    this.handles.forEach((handle, place) => {
      const { x, y } = this.points[place];
      handle.style.left = `${inner.left - outer.left + ((x + 0.5) / canvas.width) * inner.width}px`;
      handle.style.top = `${inner.top - outer.top + ((y + 0.5) / canvas.height) * inner.height}px`;
      handle.setAttribute("aria-label", words.line_up.point(place + 1, this.name, x, y));
    });
  }

  close() {
    this.#listening.abort();
    for (const handle of this.handles) handle.remove();
  }

  /** @param {number} place @param {AbortSignal} signal */
  #handle(place, signal) {
    const handle = document.createElement("button");
    handle.type = "button";
    handle.className = "together-point";
    const number = document.createElement("span");
    number.textContent = String(place + 1);
    handle.append(number);
    let hand = -1;
    handle.addEventListener("pointerdown", (event) => {
      event.stopPropagation(); // neither a step nor a move of the picture
      hand = event.pointerId;
      handle.setPointerCapture(hand);
      handle.focus();
    }, { signal });
    handle.addEventListener("pointermove", (event) => {
      if (event.pointerId === hand) this.#move(place, this.#pointAt(event));
    }, { signal });
    for (const kind of /** @type {const} */ (["pointerup", "pointercancel"])) {
      handle.addEventListener(kind, (event) => {
        event.stopPropagation();
        hand = -1;
      }, { signal });
    }
    handle.addEventListener("keydown", (event) => {
      const move = MOVES[event.key];
      if (!move) return;
      event.preventDefault();
      const far = event.shiftKey ? FAR_PX : 1;
      const { x, y } = this.points[place];
      this.#move(place, { x: x + move[0] * far, y: y + move[1] * far });
    }, { signal });
    handle.addEventListener("focus", () => this.taken(place), { signal });
    return handle;
  }

  /** A tap brings the nearer of the two points. @param {PointerEvent} event */
  #tap(event) {
    const point = this.#pointAt(event);
    const apart = this.points.map(({ x, y }) => Math.hypot(x - point.x, y - point.y));
    const place = apart[1] < apart[0] ? 1 : 0;
    this.handles[place].focus();
    this.#move(place, point);
  }

  /** @param {PointerEvent} event @returns {Point} */
  #pointAt(event) {
    const { canvas } = this.screen;
    const box = canvas.getBoundingClientRect();
    return {
      x: Math.floor(((event.clientX - box.left) / box.width) * canvas.width),
      y: Math.floor(((event.clientY - box.top) / box.height) * canvas.height),
    };
  }

  /** @param {number} place @param {Point} to */
  #move(place, to) {
    const { canvas } = this.screen;
    const inside = { x: Math.min(Math.max(to.x, 0), canvas.width - 1), y: Math.min(Math.max(to.y, 0), canvas.height - 1) };
    this.points = place === 0 ? [inside, this.points[1]] : [this.points[0], inside];
    this.lay();
    this.changed(this.points);
  }

  /** What lies around a point, magnified. @param {number} place @param {HTMLCanvasElement} loupe */
  magnify(place, loupe) {
    const { canvas } = this.screen;
    loupe.width = LOUPE_PIXELS * LOUPE_SCALE;
    loupe.height = loupe.width;
    const pen = loupe.getContext("2d");
    if (!pen) return;
    const { x, y } = this.points[place];
    const half = (LOUPE_PIXELS - 1) / 2;
    pen.imageSmoothingEnabled = false;
    pen.fillStyle = "black";
    pen.fillRect(0, 0, loupe.width, loupe.height);
    pen.drawImage(canvas, x - half, y - half, LOUPE_PIXELS, LOUPE_PIXELS, 0, 0, loupe.width, loupe.height);
    for (const [ink, thick] of /** @type {const} */ ([["black", 4], ["white", 2]])) {
      pen.strokeStyle = ink;
      pen.lineWidth = thick;
      pen.strokeRect(half * LOUPE_SCALE - 0.5, half * LOUPE_SCALE - 0.5, LOUPE_SCALE + 1, LOUPE_SCALE + 1);
    }
  }
}
