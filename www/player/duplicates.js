/**
 * @typedef {object} DuplicateCheck
 * @property {Blob} file
 * @property {import("./clip-tables.js").SampleTable} samples
 * @property {VideoDecoderConfig} config
 * @property {AbortSignal} signal
 * @property {(done: number, of: number) => void} onProgress
 */

/** @param {DuplicateCheck} _check @returns {Promise<number[]>} */
export async function findDuplicates(_check) {
  throw new DOMException("looking for copied frames is not built in yet", "NotSupportedError");
}
