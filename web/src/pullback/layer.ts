// SPDX-License-Identifier: Apache-2.0
// Puts the marks of a cross-section over the picture as SVG. Lines have a dark rim so that they are seen on white too.
import type { Mark } from "./marks";

const kSvg = "http://www.w3.org/2000/svg";

export interface Layer {
  update(list: readonly Mark[]): void;
  dispose(): void;
}

const kLetter = 9.5; // px, of a usual letter: words near the edge are moved in
const number = (value: number): string => value.toFixed(1);

function pathOf(mark: Mark): string {
  switch (mark.kind) {
    case "line": return mark.points.map((point, index) => `${index === 0 ? "M" : "L"}${number(point.x)} ${number(point.y)}`).join("");
    case "cross": return `M${number(mark.at.x - 8)} ${number(mark.at.y - 8)}l16 16m0 -16l-16 16`;
    case "ring": return `M${number(mark.at.x - mark.r)} ${number(mark.at.y)}a${number(mark.r)} ${number(mark.r)} 0 1 0 ${number(2 * mark.r)} 0a${number(mark.r)} ${number(mark.r)} 0 1 0 ${number(-2 * mark.r)} 0`;
    case "words": return "";
  }
}

export function openLayer(host: HTMLElement): Layer {
  const svg = document.createElementNS(kSvg, "svg");
  svg.setAttribute("class", "overlay round-layer");
  svg.setAttribute("aria-hidden", "true");
  host.append(svg);
  return {
    update(list) {
      const drawn: SVGElement[] = [];
      for (const mark of list) {
        if (mark.kind === "words") {
          const text = document.createElementNS(kSvg, "text");
          text.setAttribute("class", mark.ink);
          text.setAttribute("x", number(Math.max(8, Math.min(mark.at.x + 14, host.clientWidth - kLetter * mark.text.length))));
          text.setAttribute("y", number(mark.at.y - 8));
          text.textContent = mark.text;
          drawn.push(text);
          continue;
        }
        for (const layer of mark.ink === "cut" || mark.ink === "blind" ? ["over"] : ["under", "over"]) {
          const path = document.createElementNS(kSvg, "path");
          path.setAttribute("d", pathOf(mark));
          path.setAttribute("class", `${layer} ${mark.ink}${mark.kind === "line" && mark.preview ? " preview" : ""}`);
          drawn.push(path);
        }
      }
      svg.replaceChildren(...drawn);
    },
    dispose() { svg.remove(); },
  };
}
