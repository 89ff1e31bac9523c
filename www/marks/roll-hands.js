// Pointer, wheel and pinch on the stroke roll: drag is a jog, a click on a sign selects it, a drag of the
// selected sign moves it by frames and shows each of them, wheel and pinch zoom.

/** @typedef {import("./roll.js").Roll} Roll */
/** @typedef {import("./shapes.js").MarkShown} MarkShown */

/** A hand that moved less than this has clicked. */
const STILL = 4;

export class RollHands {
  /** @param {Roll} roll */
  constructor(roll) {
    this.roll = roll;
    this.listening = new AbortController();
    /** Pointers that are down, with their places. @type {Map<number, {x: number, y: number}>} */
    this.down = new Map();
    /** @type {{x: number, y: number, ticks: number, mark: MarkShown | null, moved: boolean} | null} */
    this.drag = null;
    /** @type {{distance: number, pixelsPerTick: number} | null} */
    this.pinch = null;
    const { canvas } = roll;
    const options = { signal: this.listening.signal };
    canvas.addEventListener("pointerdown", (event) => this.#press(event), options);
    canvas.addEventListener("pointermove", (event) => this.#move(event), options);
    canvas.addEventListener("pointerup", (event) => this.#lift(event), options);
    canvas.addEventListener("pointercancel", (event) => this.#drop(event), options);
    canvas.addEventListener("wheel", (event) => this.#wheel(event), { ...options, passive: false });
  }

  close() {
    this.listening.abort();
  }

  /** @param {PointerEvent | WheelEvent} event */
  #place(event) {
    const box = this.roll.canvas.getBoundingClientRect();
    return { x: event.clientX - box.left, y: event.clientY - box.top };
  }

  /** @param {PointerEvent} event */
  #press(event) {
    if (event.button !== 0 || !this.roll.window) return;
    this.roll.canvas.setPointerCapture(event.pointerId);
    const place = this.#place(event);
    this.down.set(event.pointerId, place);
    if (this.down.size === 2) {
      this.#putBack();
      this.pinch = { distance: this.#spread(), pixelsPerTick: this.roll.window.pixelsPerTick };
      return;
    }
    const reach = event.pointerType === "mouse" ? 9 : 22;
    this.drag = { ...place, ticks: this.roll.playhead.ticks, mark: this.roll.markAt(place, reach), moved: false };
  }

  #spread() {
    const [a, b] = [...this.down.values()];
    return Math.max(Math.hypot(a.x - b.x, a.y - b.y), 1);
  }

  /** @param {PointerEvent} event */
  #move(event) {
    const { roll } = this;
    if (!this.down.has(event.pointerId) || !roll.window) return;
    const place = this.#place(event);
    this.down.set(event.pointerId, place);
    if (this.pinch && this.down.size === 2) {
      roll.window.setScale((this.pinch.pixelsPerTick * this.#spread()) / this.pinch.distance, roll.playhead.ticks);
      roll.wishes.zoomed();
      return;
    }
    if (!this.drag) return;
    this.drag.moved ||= Math.abs(place.x - this.drag.x) > STILL;
    if (this.drag.moved) this.#dragTo(this.drag, place.x);
  }

  /** @param {NonNullable<RollHands["drag"]>} drag @param {number} x */
  #dragTo(drag, x) {
    const { roll } = this;
    const { window: view, clock } = roll;
    if (!view || !clock) return;
    if (drag.mark && drag.mark.id === roll.selected && roll.wishes.canMove()) {
      const frame = clock.frameAt(view.timeAt(x - roll.gutter));
      roll.carried = { id: drag.mark.id, ticks: clock.ticksOf(frame) };
      roll.invalidate();
      roll.wishes.jog(frame);
      return;
    }
    const asked = roll.motion === "roll" ? drag.ticks - (x - drag.x) / view.pixelsPerTick : view.timeAt(x - roll.gutter);
    const ticks = Math.min(Math.max(asked, clock.first), clock.end - 1);
    roll.held = ticks;
    roll.invalidate();
    roll.wishes.jog(clock.frameAt(ticks));
  }

  /** @param {PointerEvent} event */
  #lift(event) {
    const { roll, drag } = this;
    this.down.delete(event.pointerId);
    const { carried } = roll;
    this.#release();
    if (!drag || !roll.window || !roll.clock) return;
    if (carried && drag.mark) roll.wishes.move(drag.mark, roll.clock.frameAt(carried.ticks));
    else if (drag.moved) return;
    else if (drag.mark) roll.wishes.select(drag.mark);
    else if (drag.x >= roll.gutter) roll.wishes.jog(roll.clock.frameAt(roll.window.timeAt(drag.x - roll.gutter)));
  }

  /** @param {PointerEvent} event */
  #drop(event) {
    this.down.delete(event.pointerId);
    this.#putBack();
  }

  /** Ends a drag that comes to nothing: a carried sign stays where it was, and its frame is shown again. */
  #putBack() {
    const { roll, drag } = this;
    const isCarried = roll.carried !== null;
    this.#release();
    if (isCarried && drag?.mark && roll.clock) roll.wishes.jog(roll.clock.frameAt(drag.mark.time));
  }

  #release() {
    this.drag = null;
    this.pinch = null;
    this.roll.held = null;
    this.roll.carried = null;
    this.roll.invalidate();
  }

  /** @param {WheelEvent} event */
  #wheel(event) {
    const { roll } = this;
    if (!roll.window) return;
    event.preventDefault();
    if (Math.abs(event.deltaX) > Math.abs(event.deltaY) && roll.clock) {
      const ticks = roll.playhead.ticks + event.deltaX / roll.window.pixelsPerTick;
      roll.wishes.jog(roll.clock.frameAt(ticks));
      return;
    }
    const at = roll.motion === "roll" ? roll.playhead.ticks : roll.window.timeAt(this.#place(event).x - roll.gutter);
    roll.window.zoomBy(Math.exp(-event.deltaY / 300), at);
    roll.wishes.zoomed();
  }
}
