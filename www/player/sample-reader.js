// Reads samples' bytes out of the file in ranges of a megabyte, since each small read costs about 2 ms.
//
// Not for: holding the file. One range is kept.

/** Bytes read at once at least. */
const RANGE_BYTES = 1 << 20;

export class SampleReader {
  #start = 0;
  #bytes = new Uint8Array(0);

  /**
   * @param {Blob} file
   * @param {import("./clip-tables.js").Tables} tables
   */
  constructor(file, tables) {
    this.file = file;
    this.tables = tables;
  }

  /**
   * The bytes of one sample, valid until the next call.
   *
   * @param {number} sample
   * @returns {Promise<Uint8Array>}
   * @throws {DOMException} NotReadableError or NotFoundError when the file moved or changed since it was chosen
   */
  async read(sample) {
    const offset = this.tables.sample_offset[sample];
    const size = this.tables.sample_size[sample];
    const held = offset >= this.#start && offset + size <= this.#start + this.#bytes.byteLength;
    if (!held) {
      const end = Math.min(offset + Math.max(size, RANGE_BYTES), this.file.size);
      const buffer = await this.file.slice(offset, end).arrayBuffer();
      this.#start = offset;
      this.#bytes = new Uint8Array(buffer);
      if (buffer.byteLength < size) {
        throw new DOMException("the file ends inside a frame", "NotReadableError");
      }
    }
    return this.#bytes.subarray(offset - this.#start, offset - this.#start + size);
  }
}
