// Figures as the coach reads them: how many digits a value deserves follows from its uncertainty.

const MINUS = "−";

/** @param {number} value @param {number} decimals */
export function decimal(value, decimals) {
  const text = value.toFixed(decimals);
  // A value that rounds to nought has no sign.
  if (Number(text) === 0) return text.replace("-", "");
  return text.replace("-", MINUS);
}

/**
 * Decimals so that the uncertainty keeps one digit, or two where it starts with 1 or 2.
 * @param {number} uncertainty above 0
 */
export function decimalsFor(uncertainty) {
  if (!(uncertainty > 0) || !Number.isFinite(uncertainty)) return 2;
  const power = Math.floor(Math.log10(uncertainty));
  const leading = uncertainty / 10 ** power;
  return Math.min(Math.max(-power + (leading < 3 ? 1 : 0), 0), 3);
}

/**
 * Value and uncertainty with the same number of decimals.
 * @param {import("./shapes.js").Quantity} quantity
 * @param {number} [scale] 1000 to show seconds as milliseconds
 */
export function valueAndError(quantity, scale = 1) {
  const uncertainty = Math.abs(quantity.uncertainty * scale);
  const decimals = scale === 1000 ? 0 : decimalsFor(uncertainty);
  return { value: decimal(quantity.value * scale, decimals), error: decimal(uncertainty, decimals) };
}

/** Clip time, s, to the millisecond. @param {number} seconds */
export function clipTime(seconds) {
  return `${decimal(seconds, 3)} s`;
}

/** A frame rate without needless noughts. @param {number} fps */
export function frameRate(fps) {
  return String(Number(fps.toFixed(2)));
}
