// A finger or the mouse drawn across the picture steps frames: a jog where the eyes already are.
//
// Not for: zoom and pan, which belong to the player's picture.

/** Pixels of travel for one frame. */
const PIXELS_A_FRAME = 14;

/**
 * @param {HTMLElement} stage
 * @param {{frame: () => number, to: (frame: number) => void, isZoomed: () => boolean}} how
 * @returns {() => void} stops listening
 */
export function jogByDragging(stage, { frame, to, isZoomed }) {
  const listening = new AbortController();
  const options = { signal: listening.signal };
  /** @type {{id: number, x: number, frame: number} | null} */
  let drag = null;
  let fingers = 0;
  stage.addEventListener("pointerdown", (event) => {
    fingers += 1;
    const ours = event.target instanceof HTMLCanvasElement && event.button === 0 && fingers === 1 && !isZoomed();
    drag = ours ? { id: event.pointerId, x: event.clientX, frame: frame() } : null;
    if (drag) stage.setPointerCapture(event.pointerId);
  }, options);
  stage.addEventListener("pointermove", (event) => {
    if (drag?.id !== event.pointerId) return;
    const steps = Math.trunc((event.clientX - drag.x) / PIXELS_A_FRAME);
    if (drag.frame + steps !== frame()) to(drag.frame + steps);
  }, options);
  const lift = () => {
    fingers = Math.max(fingers - 1, 0);
    drag = null;
  };
  stage.addEventListener("pointerup", lift, options);
  stage.addEventListener("pointercancel", lift, options);
  return () => listening.abort();
}
