// Where the bytes of each frame stand, for a test that damages some.

import initialise, { ClipReader } from "/wasm/worker.js";

self.onmessage = async ({ data: file }) => {
  await initialise({ module_or_path: new URL("/wasm/worker_bg.wasm", import.meta.url) });
  const reader = ClipReader.open(file);
  const [offsets, sizes] = [reader.sample_offsets(), reader.sample_sizes()];
  self.postMessage([...reader.frame_samples()].map((sample) => ({ offset: offsets[sample], size: sizes[sample] })));
  reader.free();
};
