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

interface Piece {
  readonly tag: "path" | "text";
  readonly attributes: Readonly<Record<string, string>>;
  readonly words: string;
}

function piecesOf(list: readonly Mark[], width: number): Piece[] {
  return list.flatMap((mark): Piece[] => {
    if (mark.kind === "words") {
      const x = number(Math.max(8, Math.min(mark.at.x + 14, width - kLetter * mark.text.length)));
      return [{ tag: "text", attributes: { class: mark.ink, x, y: number(mark.at.y - 8) }, words: mark.text }];
    }
    const d = pathOf(mark);
    return (mark.ink === "cut" || mark.ink === "blind" ? ["over"] : ["under", "over"])
      .map((layer) => ({ tag: "path", attributes: { class: `${layer} ${mark.ink}${mark.kind === "line" && mark.preview ? " preview" : ""}`, d }, words: "" }));
  });
}

// While frames run past, elements stay and only what differs is set: making them anew each frame, and asking the page for
// its width, cost more than the picture itself where the processor paints.
export function openLayer(host: HTMLElement): Layer {
  const svg = document.createElementNS(kSvg, "svg");
  svg.setAttribute("class", "overlay round-layer");
  svg.setAttribute("aria-hidden", "true");
  host.append(svg);
  let width = host.clientWidth;
  const resize = new ResizeObserver((seen) => { width = seen[0]?.contentRect.width ?? width; });
  resize.observe(host);
  let waiting: readonly Mark[] | null = null;
  let scheduled = 0;
  const set = (element: Element, piece: Piece) => {
    for (const [name, value] of Object.entries(piece.attributes)) if (element.getAttribute(name) !== value) element.setAttribute(name, value);
    if (element.textContent !== piece.words) element.textContent = piece.words;
  };
  const draw = () => {
    scheduled = 0;
    const pieces = piecesOf(waiting ?? [], width);
    pieces.forEach((piece, index) => {
      const there = svg.children[index];
      if (there !== undefined && there.tagName === piece.tag) return set(there, piece);
      const made = document.createElementNS(kSvg, piece.tag);
      set(made, piece);
      if (there === undefined) svg.append(made);
      else there.replaceWith(made);
    });
    while (svg.children.length > pieces.length) svg.lastElementChild?.remove();
  };
  return {
    update(list) {
      waiting = list;
      if (scheduled === 0) scheduled = requestAnimationFrame(draw);
    },
    dispose() {
      cancelAnimationFrame(scheduled);
      resize.disconnect();
      svg.remove();
    },
  };
}
