// SPDX-License-Identifier: Apache-2.0
// The pullback lengthwise: the cut, the areas and the spaces on one scale of frames, with a line where the frame stands.
// A plain module; what it draws is a pure list (tracks), the greys of the cut are painted once an angle.
import { cutOf } from "./round";
import type { Pullback, Space } from "./shapes";
import { paintCut, type Rays } from "./rays";

export interface AlongState {
  readonly frames: number;
  readonly frame: number;
  readonly angle: number;
  readonly rays: Rays | null;
  readonly reading: Pullback | null;
  readonly column_mm: number | null;
  readonly nearMark: string | null; // a reader's, which wins
  readonly farMark: string | null;
  readonly theme: string;
}
export interface Along {
  update(state: AlongState): void;
  dispose(): void;
}

export const markedSpace = (mark: string | null): Space | null => (mark === null ? null : mark === "outside" ? "outside" : "inside");

export interface Box {
  readonly top: number;
  readonly height: number;
}
export interface Tracks {
  readonly cut: Box;
  readonly areas: Box;
  readonly spaces: Box;
  readonly axis: number; // its top
}
const kAxis = 18;
export function layout(height: number): Tracks {
  const rows = Math.max(40, height - kAxis);
  const spaces = Math.min(46, rows * 0.22);
  const areas = (rows - spaces - 8) * 0.38;
  const cut = rows - spaces - areas - 8;
  return { cut: { top: 0, height: cut }, areas: { top: cut + 4, height: areas }, spaces: { top: cut + areas + 8, height: spaces }, axis: rows };
}

// Pieces of a line over the frames; a null is a gap.
export function runs(values: readonly (number | null)[]): [number, number][][] {
  const found: [number, number][][] = [];
  let now: [number, number][] = [];
  values.forEach((value, index) => {
    if (value === null) {
      if (now.length > 0) found.push(now);
      now = [];
    } else now.push([index, value]);
  });
  if (now.length > 0) found.push(now);
  return found;
}

export const frameAt = (x: number, width: number, frames: number): number =>
  Math.min(frames - 1, Math.max(0, Math.floor((x / Math.max(1, width)) * frames)));

function topOf(values: readonly number[]): number {
  const most = Math.max(1, ...values);
  return [2, 4, 6, 8, 10, 15, 20, 30, 40].find((top) => top >= most) ?? most;
}

export function mountAlong(host: HTMLElement, go: (frame: number) => void): Along {
  const stop = new AbortController();
  const ground = document.createElement("canvas"); // everything but the line of the frame
  const line = document.createElement("div");
  line.className = "along-now";
  ground.setAttribute("aria-hidden", "true");
  host.append(ground, line);
  const sheet = document.createElement("canvas");
  let state: AlongState | null = null;
  let drawn: AlongState | null = null;
  let scheduled = 0;

  const colours = () => {
    const style = getComputedStyle(host);
    const one = (name: string) => style.getPropertyValue(name).trim();
    return { ink: one("--image-ink"), line: one("--line"), mist: one("--mist"), paper: one("--paper"), sea: one("--sea"), sky: one("--sky"), sand: one("--sand"), slate: one("--slate") };
  };

  const draw = (now: AlongState) => {
    const width = Math.max(1, host.clientWidth);
    const height = Math.max(1, host.clientHeight);
    const ratio = Math.min(2, globalThis.devicePixelRatio || 1);
    ground.width = Math.round(width * ratio);
    ground.height = Math.round(height * ratio);
    ground.style.width = `${width}px`;
    ground.style.height = `${height}px`;
    const pen = ground.getContext("2d");
    if (!pen) return;
    const c = colours();
    pen.scale(ratio, ratio);
    pen.font = "12px system-ui, 'DejaVu Sans', sans-serif";
    const { cut, areas, spaces, axis } = layout(height);
    const x = (frame: number) => ((frame + 0.5) / now.frames) * width;
    pen.fillStyle = c.ink;
    pen.fillRect(0, cut.top, width, cut.height);
    const found = now.reading;
    if (now.rays) {
      const image = paintCut(now.rays, now.angle);
      sheet.width = image.width;
      sheet.height = image.height;
      sheet.getContext("2d")?.putImageData(image, 0, 0);
      pen.imageSmoothingEnabled = true;
      pen.drawImage(sheet, 0, cut.top, width, cut.height);
    }
    const stroke = (values: readonly (number | null)[], y: (value: number) => number, colour: string, dash: readonly number[] = []) => {
      pen.strokeStyle = colour;
      pen.lineWidth = 1.75;
      pen.setLineDash([...dash]);
      for (const piece of runs(values)) {
        pen.beginPath();
        piece.forEach(([frame, value], index) => (index === 0 ? pen.moveTo(x(frame), y(value)) : pen.lineTo(x(frame), y(value))));
        pen.stroke();
      }
      pen.setLineDash([]);
    };
    if (found && now.rays && now.column_mm !== null) {
      const half = now.rays.depth * now.rays.step_px * now.column_mm;
      const y = (mm: number) => cut.top + cut.height / 2 + (mm / half) * (cut.height / 2);
      for (const [border, colour] of [["eem_mm", "#8fb8dc"], ["lumen_mm", "#58b6a6"]] as const) {
        const both = found.sections.map((each) => cutOf(each[border], border === "eem_mm" ? each.not_seen : each.lumen_not_seen, now.angle));
        stroke(both.map((each) => (each.up === null ? null : -each.up)), y, colour);
        stroke(both.map((each) => each.down), y, colour);
      }
    }
    if (found) {
      const vessel = found.sections.map((each) => each.eem_area_mm2?.value ?? null);
      const lumen = found.sections.map((each) => each.lumen_area_mm2.value);
      const top = topOf([...lumen, ...vessel.filter((each): each is number => each !== null)]);
      const y = (value: number) => areas.top + areas.height - (value / top) * areas.height;
      pen.strokeStyle = c.line;
      pen.lineWidth = 1;
      pen.beginPath();
      for (const share of [0, 0.5, 1]) { pen.moveTo(0, y(share * top)); pen.lineTo(width, y(share * top)); }
      pen.stroke();
      stroke(vessel, y, c.sky);
      stroke(lumen, y, c.sea);
      if (found.stent) stroke(found.sections.map((each) => each.stent_area_mm2?.value ?? null), y, "#e8c35a");
      pen.fillStyle = c.mist;
      pen.fillText(`${top} mm²`, 4, areas.top + 12);
      const rows = [["catheter", found.ranges.map((each) => ({ ...each, space: markedSpace(now.nearMark) ?? each.catheter_side, lumen: (now.nearMark ?? each.catheter_space) === "lumen", by: now.nearMark !== null }))],
        ["second wire", found.ranges.map((each) => ({ ...each, space: markedSpace(now.farMark) ?? each.wire_side, lumen: (now.farMark ?? each.wire_space) === "lumen", by: now.farMark !== null }))]] as const;
      rows.forEach(([word, list], row) => {
        const high = spaces.height / 2 - 2;
        const at = spaces.top + row * (high + 2);
        for (const each of list) {
          const left = (each.first / now.frames) * width;
          const right = ((each.last + 1) / now.frames) * width;
          pen.fillStyle = c.slate;
          pen.fillRect(left, at, right - left, high);
          pen.strokeStyle = each.space === "inside" ? c.sea : each.space === "outside" ? c.sand : c.mist;
          pen.lineWidth = each.space === "unknown" ? 1 : each.lumen ? 6 : 3; // the true lumen: a broad line
          pen.setLineDash(each.space === "outside" ? [8, 4] : each.space === "unknown" ? [2, 5] : []);
          pen.beginPath();
          pen.moveTo(left + 1, at + high - 3);
          pen.lineTo(right - 1, at + high - 3);
          pen.stroke();
          pen.setLineDash([]);
        }
        pen.fillStyle = c.paper;
        const words = list.length === 0 ? "" : list.every((each) => each.space === list[0]?.space) ? list[0]?.space ?? "" : "see along";
        pen.fillText(`${word}: ${words}${list[0]?.by ? ", marked by a reader" : ""}`, 4, at + Math.min(high - 7, 13));
      });
      if (found.heart) {
        pen.fillStyle = c.paper;
        for (const each of found.heart.at_rest) pen.fillRect(x(each) - 1, axis - 4, 2, 4);
      }
    }
    pen.fillStyle = c.mist;
    const last = found?.sections.at(-1)?.z_mm ?? null;
    pen.fillText(last === null ? `${now.frames} frames${found ? ", distances not known" : ""}` : "0 mm", 4, height - 4);
    if (last !== null) {
      const words = `${last.toFixed(1)} mm`;
      pen.fillText(words, width - pen.measureText(words).width - 4, height - 4);
    }
  };
  const paint = () => {
    scheduled = 0;
    if (state === null) return;
    const { frame: _, ...rest } = state;
    const { frame: __, ...before } = drawn ?? { frame: -1 };
    if (drawn === null || Object.entries(rest).some(([key, value]) => (before as Record<string, unknown>)[key] !== value)) {
      draw(state);
      drawn = state;
    }
    line.style.transform = `translateX(${((state.frame + 0.5) / Math.max(1, state.frames)) * host.clientWidth}px)`;
  };
  const schedule = () => { if (scheduled === 0) scheduled = requestAnimationFrame(paint); };
  const resize = new ResizeObserver(() => { drawn = null; schedule(); });
  resize.observe(host);
  const follow = (event: PointerEvent) => {
    const box = host.getBoundingClientRect();
    if (state) go(frameAt(event.clientX - box.left, box.width, state.frames));
  };
  const listen = { signal: stop.signal };
  host.addEventListener("pointerdown", (event) => { host.setPointerCapture(event.pointerId); host.focus(); follow(event); }, listen);
  host.addEventListener("pointermove", (event) => { if (host.hasPointerCapture(event.pointerId)) follow(event); }, listen);
  return {
    update(next) { state = next; schedule(); },
    dispose() {
      stop.abort();
      resize.disconnect();
      cancelAnimationFrame(scheduled);
      ground.remove();
      line.remove();
    },
  };
}
