// A made-up WebM with many small frames: an index that lies spread over the whole file and takes long to read. Its
// pictures are zeros; nothing decodes them.
//
// Sources: RFC 8794 (EBML), RFC 9559 (Matroska).

/** @param {number[]} id @param {Buffer} contents */
function element(id, contents) {
  const size = Buffer.alloc(8);
  size.writeBigUInt64BE((1n << 56n) | BigInt(contents.length));
  return Buffer.concat([Buffer.from(id), size, contents]);
}

const CLUSTER_S = 10;
const FRAME_RATE_FPS = 100;
/** A block's header: id, size in eight bytes, track, time, flags. */
const HEAD_BYTES = 13;

/**
 * @param {{frames: number, frame_bytes: number}} wish
 * @returns {Buffer}
 */
export function largeWebm({ frames, frame_bytes }) {
  const video = Buffer.concat([element([0xb0], Buffer.from([7, 0x80])), element([0xba], Buffer.from([4, 0x38]))]);
  const track = Buffer.concat([
    element([0xd7], Buffer.from([1])),
    element([0x83], Buffer.from([1])),
    element([0x86], Buffer.from("V_VP9")),
    element([0xe0], video),
  ]);
  const parts = [
    element([0x1a, 0x45, 0xdf, 0xa3], element([0x42, 0x82], Buffer.from("webm"))),
    Buffer.from([0x18, 0x53, 0x80, 0x67, 0x01, 0xff, 0xff, 0xff, 0xff, 0xff, 0xff, 0xff]),
    element([0x15, 0x49, 0xa9, 0x66], element([0x2a, 0xd7, 0xb1], Buffer.from([0x0f, 0x42, 0x40]))),
    element([0x16, 0x54, 0xae, 0x6b], element([0xae], track)),
  ];
  const per_cluster = CLUSTER_S * FRAME_RATE_FPS;
  const block_bytes = HEAD_BYTES + frame_bytes;
  for (let first = 0; first < frames; first += per_cluster) {
    const time = Buffer.alloc(8);
    time.writeBigUInt64BE(BigInt((first * 1000) / FRAME_RATE_FPS));
    const count = Math.min(per_cluster, frames - first);
    const blocks = Buffer.alloc(count * block_bytes);
    for (let index = 0; index < count; index += 1) {
      const at = index * block_bytes;
      blocks[at] = 0xa3;
      blocks.writeBigUInt64BE((1n << 56n) | BigInt(frame_bytes + 4), at + 1);
      blocks[at + 9] = 0x81;
      blocks.writeUInt16BE((index * 1000) / FRAME_RATE_FPS, at + 10);
      blocks[at + 12] = index === 0 ? 0x80 : 0;
    }
    parts.push(element([0x1f, 0x43, 0xb6, 0x75], Buffer.concat([element([0xe7], time), blocks])));
  }
  return Buffer.concat(parts);
}
