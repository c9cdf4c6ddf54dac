// SPDX-License-Identifier: Apache-2.0
// What the trace lays over the picture: the course, both edges, the path under the cursor, the strokes of the brush.
import type { Ink } from "../../image/drawing";
import { imagePoint, type ImagePoint } from "../../wire/units";
import * as measuring from "../measuring";
import * as tracing from "./tracing";

interface Line {
  readonly ink: Ink;
  readonly points: readonly ImagePoint[];
}
const placed = (list: readonly (readonly [number, number])[]): ImagePoint[] => list.map(([x, y]) => imagePoint(x, y));

// An edge in pieces: none is drawn where no contrast stands out.
function pieces(edge: readonly (readonly [number, number])[], kinds: readonly string[]): Line[] {
  const lines: Line[] = [];
  let piece: (readonly [number, number])[] = [];
  const end = () => {
    if (piece.length > 1) lines.push({ ink: "edge", points: placed(piece) });
    piece = [];
  };
  edge.forEach((place, index) => {
    if (kinds[index] === "not seen") end();
    else piece.push(place);
  });
  end();
  return lines;
}

// The mark where one more click is asked for.
function ring(x: number, y: number): ImagePoint[] {
  const kRadius = 7; // pixels
  return Array.from({ length: 17 }, (_, k) => imagePoint(x + kRadius * Math.cos((k * Math.PI) / 8), y + kRadius * Math.sin((k * Math.PI) / 8)));
}

export function traceLines(onFrame: boolean): Line[] {
  if (measuring.task.value !== "trace" || !onFrame) return [];
  const lines: Line[] = [];
  const trace = tracing.found.value;
  if (trace && tracing.dragged.value < 0) {
    lines.push({ ink: "trace", points: placed(trace.centreline) }, ...pieces(trace.left, trace.kind), ...pieces(trace.right, trace.kind));
  }
  if (trace?.ask && tracing.dragged.value < 0) {
    const [x, y] = trace.ask.at;
    lines.push({ ink: "asked", points: placed(trace.ask.second) }, { ink: "asked-at", points: ring(x, y) });
  }
  lines.push({ ink: "live", points: tracing.live.value });
  for (const stroke of tracing.strokes.value) lines.push({ ink: "brush", points: stroke });
  if (tracing.stroke.value.length > 1) lines.push({ ink: "brush", points: tracing.stroke.value });
  return lines;
}
