// SPDX-License-Identifier: Apache-2.0
// The frames of one run, fetched in chunks and kept within a bound. Windowing, zooming and measuring ask for nothing:
// what is here are stored values.
export interface FrameSize {
  readonly rows: number;
  readonly columns: number;
  readonly samples: number;
  readonly bits: number; // 8 or 16
}
export type Pixels = Uint8Array | Uint16Array;

export interface FrameStore {
  get(frame: number): Pixels | null;
  want(frame: number, direction: 1 | -1): void; // fetches what is near, drops what is far
  dispose(): void;
}
export type FetchFrames = (first: number, last: number, signal: AbortSignal) => Promise<ArrayBuffer>;

const kMostFrames = 16;          // the engine's limit of one request
const kChunkBytes = 6 * 2 ** 20; // so that the first picture of a large run does not wait for sixteen
const kAhead = 3;                // chunks fetched before they are needed
const kMostAtOnce = 2;

export const frameBytes = (size: FrameSize): number => size.rows * size.columns * size.samples * (size.bits / 8);
export const chunkFrames = (size: FrameSize): number =>
  Math.min(kMostFrames, Math.max(1, Math.floor(kChunkBytes / Math.max(1, frameBytes(size)))));

// Chunks in the order in which they matter for `frame`: its own, then those ahead in the direction of play, round the end.
export function wanted(frame: number, direction: 1 | -1, chunks: number, perChunk: number): number[] {
  const here = Math.floor(frame / perChunk);
  const list: number[] = [];
  for (let ahead = 0; ahead <= kAhead; ahead++) {
    const chunk = (((here + ahead * direction) % chunks) + chunks) % chunks;
    if (!list.includes(chunk)) list.push(chunk);
  }
  return list;
}

export function openFrames(
  size: FrameSize, frames: number, limitBytes: number, fetchFrames: FetchFrames,
  ears: { arrived(): void; failed(error: unknown): void },
): FrameStore {
  const perChunk = chunkFrames(size);
  const chunks = Math.max(1, Math.ceil(frames / perChunk));
  const room = Math.max(kAhead + 1, Math.floor(limitBytes / Math.max(1, perChunk * frameBytes(size))));
  const kept = new Map<number, Pixels[]>(); // in order of last use
  const going = new Map<number, AbortController>();
  let list: number[] = [];
  let closed = false;

  const split = (body: ArrayBuffer, howMany: number): Pixels[] => {
    const bytes = frameBytes(size);
    if (body.byteLength !== bytes * howMany) throw new Error(`The frames are ${body.byteLength} bytes, ${bytes * howMany} were expected: open the run again`);
    return Array.from({ length: howMany }, (_, index) =>
      size.bits === 16 ? new Uint16Array(body, index * bytes, bytes / 2) : new Uint8Array(body, index * bytes, bytes));
  };
  const drop = () => {
    for (const chunk of kept.keys()) {
      if (kept.size <= room) return;
      if (!list.includes(chunk)) kept.delete(chunk);
    }
  };
  const load = async (chunk: number) => {
    const cancel = new AbortController();
    going.set(chunk, cancel);
    const first = chunk * perChunk;
    const last = Math.min(frames, first + perChunk) - 1;
    try {
      const body = await fetchFrames(first, last, cancel.signal);
      kept.set(chunk, split(body, last - first + 1));
      drop();
      if (!closed) ears.arrived();
    } catch (error) {
      if (!cancel.signal.aborted && !closed) ears.failed(error);
      else return;
      list = list.filter((other) => other !== chunk); // no storm of retries: the next `want` asks again
    } finally {
      if (going.get(chunk) === cancel) going.delete(chunk);
    }
    pump();
  };
  const pump = () => {
    for (const chunk of list) {
      if (closed || going.size >= kMostAtOnce) return;
      if (!kept.has(chunk) && !going.has(chunk)) void load(chunk);
    }
  };
  return {
    get(frame) {
      const chunk = Math.floor(frame / perChunk);
      const found = kept.get(chunk);
      if (found === undefined) return null;
      kept.delete(chunk);
      kept.set(chunk, found);
      return found[frame - chunk * perChunk] ?? null;
    },
    want(frame, direction) {
      list = wanted(frame, direction, chunks, perChunk);
      for (const [chunk, cancel] of going) if (!list.includes(chunk)) { cancel.abort(); going.delete(chunk); }
      pump();
    },
    dispose() {
      closed = true;
      for (const cancel of going.values()) cancel.abort();
      kept.clear();
    },
  };
}
