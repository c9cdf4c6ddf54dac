// SPDX-License-Identifier: Apache-2.0
// Grey values round the catheter for all frames, so that a cut at any angle asks for nothing; fetched piece by piece.
import { faultOf } from "../wire/engine";

export interface Rays {
  readonly frames: number;
  readonly angles: number;
  readonly depth: number;
  readonly step_px: number;              // columns of the picture from one sample to the next
  readonly grey: Uint8Array;             // frames x angles x depth
  readonly here: readonly boolean[];     // frames that have come
}

const kPiece = 64; // frames of a request: the engine's limit

export async function fetchRays(hash: string, frames: number, come: (rays: Rays) => void, signal: AbortSignal): Promise<void> {
  let rays: { frames: number; angles: number; depth: number; step_px: number; grey: Uint8Array; here: boolean[] } | null = null;
  for (let first = 0; first < frames; first += kPiece) {
    const last = Math.min(frames, first + kPiece) - 1;
    const reply = await fetch(`/api/images/${hash}/rays/${first}-${last}`, { signal, credentials: "same-origin" });
    if (!reply.ok) throw faultOf(reply.status, await reply.text());
    const [angles = 0, depth = 0, step = 0] = (reply.headers.get("X-Fairlead-Rays") ?? "").split(" ").map(Number);
    const body = new Uint8Array(await reply.arrayBuffer());
    if (body.length === 0 || body.length !== (last - first + 1) * angles * depth) throw new Error("The rays came cut off: open the pullback again");
    rays ??= { frames, angles, depth, step_px: step, grey: new Uint8Array(frames * angles * depth), here: new Array<boolean>(frames).fill(false) };
    rays.grey.set(body, first * angles * depth);
    rays.here.fill(true, first, last + 1);
    come({ ...rays, here: [...rays.here] });
  }
}

// The cut at an angle: a column a frame, from the far end of the ray at angle + 180 down to that of the ray at angle.
export function paintCut(rays: Rays, angle: number): ImageData {
  const { frames, angles, depth } = rays;
  const height = 2 * depth;
  const image = new ImageData(frames, height);
  const words = new Uint32Array(image.data.buffer);
  const down = Math.round((angle / 360) * angles) % angles;
  const up = (down + angles / 2) % angles;
  for (let frame = 0; frame < frames; frame++) {
    if (rays.here[frame] !== true) continue;
    const below = (frame * angles + down) * depth;
    const above = (frame * angles + up) * depth;
    for (let i = 0; i < depth; i++) {
      const a = rays.grey[above + i] ?? 0;
      const b = rays.grey[below + i] ?? 0;
      words[(depth - 1 - i) * frames + frame] = 0xff000000 | (a << 16) | (a << 8) | a;
      words[(depth + i) * frames + frame] = 0xff000000 | (b << 16) | (b << 8) | b;
    }
  }
  return image;
}
