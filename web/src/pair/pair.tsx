// SPDX-License-Identifier: Apache-2.0
// Two views side by side, what they give in space, and what the next click means.
import { Found } from "./found";
import { isPoint, pointsOf, type Tool } from "./marking";
import * as pairing from "./pairing";
import { PairPane } from "./pane";
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
          <label key={each.tool}><input type="radio" name="pair-tool" checked={pairing.tool.value === each.tool} onChange={() => { pairing.tool.value = each.tool; }} /><span>{each.word}<span class="dim figures">{count(each.tool)}</span></span></label>
        ))}
      </fieldset>
      <p class="next" role="status">{pairing.guide.value ? `The point must lie along the dashed line in view ${pairing.guide.value.side.toUpperCase()}.` : now?.next}</p>
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

export function Pair() {
  const answer = pairing.found.value;
  const few = pairing.runs.value.length < 2;
  return (
    <>
      <h1 class="unseen">Two views</h1>
      {few ? <p class="empty" role="status">Two runs that state their angles and distances are needed; this case has {pairing.runs.value.length}.</p> : <><PairPane side="a" /><PairPane side="b" /></>}
      <section class="pair-side" aria-label="Two views" aria-busy={pairing.busy.value}>
        <div class="pair-end">
          <button type="button" class="quiet" onClick={pairing.end}>Back to one view</button>
          <button type="button" class="quiet" onClick={pairing.clear}>Clear all</button>
        </div>
        <SpacePanel />
        {pairing.trouble.value !== "" && <p class="bench-trouble" role="alert"><span aria-hidden="true">▲</span> {pairing.trouble.value}</p>}
        {answer && <Found answer={answer} />}
        <Tools />
        <TablePlace />
      </section>
    </>
  );
}
