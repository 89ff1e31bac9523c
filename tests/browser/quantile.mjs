// The quantile that every benchmark reports.

/** The value that a share of the values lies below. @param {number[]} values @param {number} share 0 to 1 */
export function quantile(values, share) {
  return [...values].sort((one, other) => one - other)[Math.min(Math.floor(values.length * share), values.length - 1)];
}
