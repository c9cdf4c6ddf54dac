// SPDX-License-Identifier: Apache-2.0
// The panel of the caps: what the next click marks, both caps enlarged, the length with its method, the bend with its
// odds, and the cap as the reader grades it.
import { rowOf } from "../../state/store";
import { chance, figure, reading } from "../../words/number";
import * as measuring from "../measuring";
import { Parts } from "../parts";
import { CloseUp } from "./close-up";
import * as gap from "./marks";

function Roles() {
  return (
    <fieldset class="choice roles"><legend>The next click marks</legend>
      {gap.kRoles.map(({ role, words }) => (
        <label key={role}><input type="radio" name="gap-role" checked={gap.role.value === role} onChange={() => { gap.role.value = role; }} />
          <span>{gap.marks.value.some((mark) => mark.role === role) ? "✓ " : ""}{words}</span></label>
      ))}
    </fieldset>
  );
}

function Grades() {
  const shapes = rowOf.value.get("stump_angio")?.grades ?? [];
  if (!gap.markOf(gap.marks.value, "near cap")) return null;
  return (
    <>
      <fieldset class="choice"><legend>Near cap, as you read it</legend>
        {shapes.map((each) => <label key={each}><input type="radio" name="gap-shape" checked={gap.shape.value === each} onChange={() => { gap.shape.value = each; }} /><span>{each}</span></label>)}
      </fieldset>
      <fieldset class="choice"><legend>Ambiguous where it starts</legend>
        {["yes", "no"].map((each) => <label key={each}><input type="radio" name="gap-ambiguous" checked={gap.ambiguous.value === each} onChange={() => { gap.ambiguous.value = each; }} /><span>{each}</span></label>)}
      </fieldset>
      <p class="dim bench-note">A tapered tip may be an early frame: see that it stays over three frames. A cap seen end-on looks blunt.</p>
      <div class="accept"><button type="button" disabled={gap.shape.value === "" && gap.ambiguous.value === ""} onClick={() => void gap.acceptRead()}>Accept what was read</button></div>
    </>
  );
}

function Before() {
  const [was, now] = [gap.before.value, gap.found.value];
  if (was === null || now === null) return null;
  const same = was.method === now.method;
  return <p class={same ? "dim bench-note" : "bench-note warn"} role="status">{same ? `Re-opened: accepted then as ${was.words}.` : `Re-opened: accepted then as ${was.words} by ${was.method}. The method is now ${now.method}; both are shown.`}</p>;
}

function Found() {
  const found = gap.found.value;
  if (!found) return null;
  const { value, sd } = found.length_mm;
  return (
    <>
      <Before />
      <div class="found">
        <p class="big figures" aria-label="Occlusion length found">{reading(value, sd, "mm")}</p>
        <p class="dim">{found.method}. Course by {found.course_from}; from cap to cap {figure(found.chord_mm, 1)} mm.</p>
      </div>
      {found.bend && <p aria-label="Bend found">Largest bend {reading(found.bend.deg.value, found.bend.deg.sd, "deg")}: more than 45° in {chance(Math.min(0.99, Math.max(0.01, found.bend.over_45)))}.</p>}
      <div class="made"><h3>Length, made of</h3><Parts parts={found.parts} unit="mm" /></div>
      <ul class="bench-warnings">{found.warnings.map((text) => <li key={text}><span aria-hidden="true">▲</span> {text}</li>)}</ul>
      <div class="accept">
        <button type="button" class="main" disabled={measuring.busy.value} onClick={() => void gap.accept("length")}>Accept length</button>
        {found.bend && <button type="button" disabled={measuring.busy.value} onClick={() => void gap.accept("bend")}>Accept bend</button>}
      </div>
    </>
  );
}

export function GapBench() {
  const near = gap.markOf(gap.marks.value, "near cap");
  const far = gap.markOf(gap.marks.value, "far cap");
  return (
    <>
      {!near && <p class="next" role="status">Click the near cap, in a frame where the near injection shows it.</p>}
      {near && !far && <p class="next" role="status">Mark the far cap in this frame, in another frame, or in another run of the same pose.</p>}
      <Roles />
      <div class="close-ups"><CloseUp mark={near} words="near cap" /><CloseUp mark={far} words="far cap" /></div>
      <Found />
      <Grades />
      {gap.marks.value.length > 0 && <button type="button" class="quiet" onClick={gap.clear}>Clear marks</button>}
    </>
  );
}
