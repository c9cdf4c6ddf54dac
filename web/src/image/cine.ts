// SPDX-License-Identifier: Apache-2.0
// Which frame stands at which moment of a run. Pure; the page's clock calls it once a screen refresh.
export const kSpeeds: readonly number[] = [0.25, 0.5, 1, 2];

// Length of the run; the last frame stands as long as the one before it.
export function runMs(starts: readonly number[]): number {
  const last = starts.at(-1) ?? 0;
  const before = starts.at(-2);
  const first = starts[0] ?? 0;
  return last - first + (before === undefined ? 1000 / 15 : last - before);
}

export function frameAt(starts: readonly number[], ms: number): number {
  const first = starts[0] ?? 0;
  let low = 0;
  let high = Math.max(0, starts.length - 1);
  while (low < high) {
    const middle = Math.ceil((low + high) / 2);
    if ((starts[middle] ?? 0) - first <= ms) low = middle;
    else high = middle - 1;
  }
  return low;
}

export interface Playhead {
  readonly ms: number;
  readonly ended: boolean;
}

export function advance(starts: readonly number[], ms: number, elapsedMs: number, speed: number, loop: boolean): Playhead {
  const length = runMs(starts);
  const next = ms + elapsedMs * speed;
  if (next < length) return { ms: next, ended: false };
  return loop && length > 0 ? { ms: next % length, ended: false } : { ms: Math.max(0, length - 0.001), ended: true };
}

// Frames without times (a series of stills) go at 15 a second; the page says that the timing is not known.
export function startsOf(frameMs: readonly number[], frames: number): readonly number[] {
  return frameMs.length === frames && frames > 0 ? frameMs : Array.from({ length: frames }, (_, index) => (index * 1000) / 15);
}

export function step(frame: number, by: number, frames: number, loop: boolean): number {
  const next = frame + by;
  if (loop && frames > 0) return ((next % frames) + frames) % frames;
  return Math.min(frames - 1, Math.max(0, next));
}

export function faster(speed: number, by: 1 | -1): number {
  const at = kSpeeds.indexOf(speed);
  return kSpeeds[Math.min(kSpeeds.length - 1, Math.max(0, at + by))] ?? 1;
}
