// SPDX-License-Identifier: Apache-2.0
// Two views side by side, what they give in space, and what the next click means.
import { figure, reading } from "../words/number";
import { Found, How } from "./found";
import { isPoint, pointsOf, type Tool } from "./marking";
import { apartDeg, kRefusedBelow, kWarnedBelow, timesTheBest } from "./apart";
import * as pairing from "./pairing";
import { PairPane } from "./pane";
import { kSides } from "../wire/pair";
import { panes } from "./sides";
import { SpacePanel } from "./space-panel";

const kTools: readonly { readonly tool: Tool; readonly word: string; readonly next: string }[] = [
  { tool: "mark", word: "Points both show", next: "Click a branch, the catheter's tip or calcium in one picture, then the same point in the other." },
  { tool: "near", word: "Near cap", next: "Click the near cap in both pictures." },
  { tool: "far", word: "Far cap", next: "Click the far cap in both pictures." },
  { tool: "before", word: "Vessel before", next: "Click along the vessel towards the near cap, in both pictures; where it begins may differ." },
  { tool: "inside", word: "Inside", next: "Where calcium or a wire shows the course: click along it from near to far cap." },
  { tool: "after", word: "Vessel after", next: "Click along the vessel away from the far cap, in both pictures." },
  { tool: "channel", word: "Collateral", next: "Click along the channel from end to end, a point each 2 mm; the same ends in both pictures." },
  { tool: "vessel", word: "Other vessel", next: "Click along the vessel; the same ends in both pictures." },
];

function Tools() {
  const now = kTools.find((each) => each.tool === pairing.tool.value);
  const count = (tool: Tool) => {
    const [a, b] = [pointsOf(pairing.marking.value, tool, "a").length, pointsOf(pairing.marking.value, tool, "b").length];
    return a + b === 0 ? "" : isPoint(tool) && a === b ? ` ${a}` : ` ${a}|${b}`;
  };
  return (
    <>
      <fieldset class="choice pair-tools"><legend>A click marks</legend>
        {kTools.map((each) => (
          <label key={each.tool}><input type="radio" name="pair-tool" checked={pairing.tool.value === each.tool} onChange={() => { pairing.tool.value = each.tool; }} /><span>{each.word}<small class="dim figures">{count(each.tool)}</small></span></label>
        ))}
      </fieldset>
      <p class="next" role="status">{pairing.guide.value ? `The point must lie along the dashed line in view ${pairing.guide.value.side.toUpperCase()}.` : now?.next}</p>
      {!isPoint(pairing.tool.value) && kSides.some((side) => pairing.traceOf(side)) && (
        <div class="pair-traces">{kSides.map((side) => pairing.traceOf(side) && <button type="button" key={side} onClick={() => pairing.takeTrace(side)}>Take the trace of view {side.toUpperCase()}</button>)}</div>)}
    </>
  );
}

const kAxes = ["left", "back", "up"] as const;
function TablePlace() {
  const words = { unknown: "not known", still: "stood still", moved: "moved by" } as const;
  return (
    <fieldset class="choice"><legend>Table between the runs</legend>
      {(["still", "moved", "unknown"] as const).map((each) => (
        <label key={each}><input type="radio" name="pair-table" checked={pairing.table.value === each} onChange={() => { pairing.table.value = each; }} /><span>{words[each]}</span></label>
      ))}
      {pairing.table.value === "moved" && (
        <div class="pair-shift">{kAxes.map((axis, index) => (
          <label key={axis}>{axis}, mm<input inputMode="decimal" value={pairing.shift.value[index]} onInput={(event) => {
            const next = [...pairing.shift.value] as [string, string, string];
            next[index] = event.currentTarget.value;
            pairing.shift.value = next;
          }} /></label>
        ))}</div>
      )}
    </fieldset>
  );
}

// How far the stated views stand apart, before anything is marked, and what that costs.
function Between() {
  const [a, b] = [panes.a.image()?.view, panes.b.image()?.view];
  if (!a || !b) return null;
  const apart = apartDeg(a, b);
  const words = `${Math.round(apart)}° between the views`;
  if (apart < kRefusedBelow) return <p class="pair-narrow"><span aria-hidden="true">▲</span> {words}: below {kRefusedBelow}° depth cannot be told, nothing is measured in space. Choose another run.</p>;
  if (apart < kWarnedBelow) return <p class="pair-narrow"><span aria-hidden="true">▲</span> {words}: the error in space is {figure(timesTheBest(apart), 1)} times that of views at right angles. The spreads below hold it.</p>;
  const length = pairing.found.value?.occlusion?.length_mm;
  return <p class="dim small">{words}{length ? <>; occlusion <b class="figures">{reading(length.value, length.sd, "mm")}</b></> : null}</p>;
}

export function Pair() {
  const answer = pairing.found.value;
  const few = pairing.runs.value.length < 2;
  return (
    <>
      <h1 class="unseen">Two views</h1>
      {few ? <p class="empty" role="status">Two runs that state their angles and distances are needed; this case has {pairing.runs.value.length}.</p> : <><PairPane side="a" /><PairPane side="b" /></>}
      <section class="pair-space" aria-label="In space">
        <Between />
        <SpacePanel />
      </section>
      <section class="pair-side" aria-label="Measured in two views" tabIndex={0} aria-busy={pairing.busy.value}>
        <div class="pair-column">
          <div class="pair-end">
            <button type="button" class="quiet" onClick={pairing.end}>Back to one view</button>
            <button type="button" class="quiet" onClick={pairing.clear}>Clear all</button>
          </div>
          <Tools />
          <TablePlace />
        </div>
        <div class="pair-column">
          {pairing.trouble.value !== "" && <p class="bench-trouble" role="alert"><span aria-hidden="true">▲</span> {pairing.trouble.value}</p>}
          {answer ? <Found answer={answer} /> : <p class="dim small">Figures appear here as soon as both caps, or the ends of a course, are marked in both pictures.</p>}
        </div>
        <div class="pair-column">{answer && <How answer={answer} />}</div>
      </section>
    </>
  );
}
