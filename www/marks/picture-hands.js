// The mouse drawn across the picture steps frames: a jog where the eyes already are.
//
// Not for: fingers, zoom and pan, which belong to the player's picture.

/** Pixels of travel for one frame. */
const PIXELS_A_FRAME = 14;

/**
 * @param {HTMLElement} stage
 * @param {{frame: () => number, to: (frame: number) => void, isMagnified: () => boolean}} how
 * @returns {() => void} stops listening
 */
export function jogByDragging(stage, { frame, to, isMagnified }) {
  const listening = new AbortController();
  const options = { signal: listening.signal };
  /** @type {{id: number, x: number, frame: number} | null} */
  let drag = null;
  stage.addEventListener("pointerdown", (event) => {
    const isOurs = event.pointerType === "mouse" && event.button === 0 && !isMagnified();
    drag = isOurs ? { id: event.pointerId, x: event.clientX, frame: frame() } : null;
    if (drag) stage.setPointerCapture(event.pointerId);
  }, options);
  stage.addEventListener("pointermove", (event) => {
    if (drag?.id !== event.pointerId) return;
    const steps = Math.trunc((event.clientX - drag.x) / PIXELS_A_FRAME);
    if (drag.frame + steps !== frame()) to(drag.frame + steps);
  }, options);
  const lift = () => {
    drag = null;
  };
  stage.addEventListener("pointerup", lift, options);
  stage.addEventListener("pointercancel", lift, options);
  return () => listening.abort();
}
