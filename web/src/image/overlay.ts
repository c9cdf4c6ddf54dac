// SPDX-License-Identifier: Apache-2.0
// Puts the strokes of drawing.ts over the picture: lines as SVG, handles as buttons (so that they take focus, keys and
// a finger), and keeps the elements between updates, so that a handle in the hand is not replaced.
import type { Stroke } from "./drawing";

const kSvg = "http://www.w3.org/2000/svg";

export interface OverlayLayer {
  update(list: readonly Stroke[]): void;
  dispose(): void;
}
export interface HandleEars {
  handleKey(index: number, event: KeyboardEvent): void;
  handleDown(index: number, event: PointerEvent): void;
}

function path(points: readonly { x: number; y: number }[]): string {
  return points.map((point, index) => `${index === 0 ? "M" : "L"}${point.x.toFixed(2)} ${point.y.toFixed(2)}`).join("");
}

function makeHandle(index: number, ears: HandleEars): HTMLButtonElement {
  const button = document.createElement("button");
  button.type = "button";
  button.className = "handle";
  button.dataset["index"] = String(index);
  button.addEventListener("keydown", (event) => ears.handleKey(index, event));
  button.addEventListener("pointerdown", (event) => ears.handleDown(index, event));
  return button;
}

export function openOverlay(host: HTMLElement, ears: HandleEars): OverlayLayer {
  const svg = document.createElementNS(kSvg, "svg");
  svg.setAttribute("class", "overlay");
  svg.setAttribute("aria-hidden", "true");
  const label = document.createElement("div");
  label.className = "overlay-label";
  host.append(svg, label);
  const handles: HTMLButtonElement[] = [];

  const lines = (list: readonly Stroke[]) => {
    const drawn: SVGElement[] = [];
    for (const stroke of list) {
      if (stroke.kind !== "line" && stroke.kind !== "cross") continue;
      const line = stroke.kind === "line" ? path(stroke.points)
        : `M${stroke.at.x - stroke.reach} ${stroke.at.y}h${stroke.reach - 3}m6 0h${stroke.reach - 3}M${stroke.at.x} ${stroke.at.y - stroke.reach}v${stroke.reach - 3}m0 6v${stroke.reach - 3}`;
      for (const layer of ["under", "over"]) { // a dark rim keeps the line visible on white and on black
        const element = document.createElementNS(kSvg, "path");
        element.setAttribute("d", line);
        element.setAttribute("class", `${layer} ${stroke.kind === "line" ? stroke.ink : "cross"}`);
        drawn.push(element);
      }
    }
    svg.replaceChildren(...drawn);
  };
  return {
    update(list) {
      lines(list);
      const wanted = list.filter((stroke) => stroke.kind === "handle");
      while (handles.length > wanted.length) handles.pop()?.remove();
      wanted.forEach((stroke, index) => {
        const button = handles[index] ?? makeHandle(index, ears);
        if (handles[index] === undefined) {
          handles.push(button);
          host.append(button);
        }
        button.style.transform = `translate(${stroke.at.x.toFixed(2)}px, ${stroke.at.y.toFixed(2)}px)`;
        button.setAttribute("aria-label", stroke.name);
      });
      const said = list.find((stroke) => stroke.kind === "label");
      label.hidden = said === undefined;
      if (said) {
        label.textContent = said.text;
        label.style.transform = `translate(${said.at.x + 16}px, ${said.at.y + 12}px)`;
      }
    },
    dispose() {
      svg.remove();
      label.remove();
      for (const handle of handles) handle.remove();
    },
  };
}
