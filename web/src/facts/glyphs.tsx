// SPDX-License-Identifier: Apache-2.0
// How a fact is known, as a shape and a word; what is believed, as a small bar.
import type { Belief, Mark } from "../wire/shapes";
import { gradeWord } from "../words/belief";

export type Known = Mark | "unknown";
const kShapes: Readonly<Record<Known, string>> = {
  measured: "M7 1L13 7L7 13L1 7Z",                       // diamond
  read: "M7 1.5A5.5 5.5 0 1 1 6.99 1.5Z",                // disc
  stated: "M2 2H12V12H2Z",                               // square
  derived: "M1.5 3H12.5L7 12.5Z",                        // triangle
  unknown: "M7 1.5A5.5 5.5 0 1 1 6.99 1.5Z",             // open ring
};

export function MarkGlyph({ mark }: { readonly mark: Known }) {
  return <svg class={`mark mark-${mark}`} viewBox="0 0 14 14" width="14" height="14" aria-hidden="true"><path d={kShapes[mark]} /></svg>;
}

export function BeliefBar({ belief, low, high }: { readonly belief: Belief; readonly low: number; readonly high: number }) {
  if (belief.kind === "odds" && belief.odds.size > 1) {
    return (
      <span class="odds-bar" aria-hidden="true">
        {[...belief.odds].map(([grade, share], index) => <span key={grade} class={`odds-piece odds-${index % 4}`} style={{ flexGrow: share }} title={gradeWord(grade)} />)}
      </span>
    );
  }
  if (belief.kind === "flag" && belief.yes > 0 && belief.yes < 1) {
    return <span class="odds-bar" aria-hidden="true"><span class="odds-piece odds-0" style={{ flexGrow: belief.yes }} /><span class="odds-piece odds-rest" style={{ flexGrow: 1 - belief.yes }} /></span>;
  }
  if (belief.kind === "number" && belief.sd !== null && belief.sd > 0 && high > low) {
    const at = (x: number) => Math.min(100, Math.max(0, ((x - low) / (high - low)) * 100));
    const { value, sd } = belief;
    const stops = `transparent ${at(value - 2 * sd)}%, var(--sky) ${at(value - sd / 2)}%, var(--sky) ${at(value + sd / 2)}%, transparent ${at(value + 2 * sd)}%`;
    return <span class="spread-bar" aria-hidden="true" style={{ backgroundImage: `linear-gradient(90deg, ${stops})` }} />;
  }
  return null;
}
