// SPDX-License-Identifier: Apache-2.0
// What follows for two wires: the engine's answer, the vessel and the sizes that the rule allows drawn to one scale first.
import { useState } from "preact/hooks";
import { say, sourceOf } from "../state/store";
import { figure, numberIn, reading as readingWords } from "../words/number";
import { Beside } from "./beside";
import * as desk from "./desk";
import type { JoiningAnswer } from "./shapes";

const kPxPerMm = 26;

function Scale({ answer }: { readonly answer: JoiningAnswer }) {
  const { vessel, joining } = answer;
  if (vessel?.eem_min_mm == null || vessel.eem_max_mm == null) return null;
  const rx = (vessel.eem_max_mm.value / 2) * kPxPerMm;
  const ry = (vessel.eem_min_mm.value / 2) * kPxPerMm;
  const width = 2 * rx + 12;
  const height = 2 * ry + 12;
  const sizes = joining.sizes_the_rule_allows;
  return (
    <svg class="to-scale" viewBox={`0 0 ${width} ${height}`} width={width} height={height} role="img"
      aria-label={`Vessel ${figure(vessel.eem_min_mm.value, 1)} by ${figure(vessel.eem_max_mm.value, 1)} mm${sizes.map((each) => `, balloon ${figure(each.largest_mm, 2)} mm`).join("")}, to scale`}>
      <ellipse class="vessel" cx={width / 2} cy={height / 2} rx={rx} ry={ry} />
      {sizes.map((each, index) => <circle key={each.what} class={`balloon balloon-${index % 3}`} cx={width / 2} cy={height / 2} r={(each.largest_mm / 2) * kPxPerMm} />)}
    </svg>
  );
}

function Lines({ title, lines }: { readonly title: string; readonly lines: readonly string[] }) {
  if (lines.length === 0) return null;
  return <section><h4>{title}</h4><ul class="follow-lines">{lines.map((line) => <li key={line}>{line}</li>)}</ul></section>;
}

// Where the engine does not measure the vessel (from beside it, or where its media does not stand out) a person may.
function TypedVessel({ answer }: { readonly answer: JoiningAnswer }) {
  const [least, setLeast] = useState("");
  const [most, setMost] = useState("");
  const typed = desk.typedVessel.value;
  if (answer.vessel !== null && typed === null) return null;
  const accept = () => {
    const [min, max] = [numberIn(least), numberIn(most)];
    if (min === null || max === null || min > max || min < 0.5 || max > 8) return say("trouble", "Type the smallest and the largest diameter of the vessel in millimetres, as 3.1 and 3.6");
    desk.typedVessel.value = { frame: desk.frame.value, min_mm: min, max_mm: max };
  };
  return (
    <form class="ask-scale" onSubmit={(event) => { event.preventDefault(); accept(); }}>
      <p class="dim small">{typed === null ? "The vessel is not measured here. Measure it by hand (Distance, media to media) and type it:" : `Vessel as typed at frame ${typed.frame + 1}, used within ten frames of it.`}</p>
      <label>Smallest, mm<input inputMode="decimal" value={least} onInput={(event) => setLeast(event.currentTarget.value)} placeholder="3.1" /></label>
      <label>Largest, mm<input inputMode="decimal" value={most} onInput={(event) => setMost(event.currentTarget.value)} placeholder="3.6" /></label>
      <button type="submit">Use this vessel</button>
      {typed !== null && <button type="button" class="quiet" onClick={() => { desk.typedVessel.value = null; }}>As measured</button>}
    </form>
  );
}

// `titled`: else the short answer above says it.
export function Follows({ titled }: { readonly titled: boolean }) {
  const answer = desk.joining.value;
  if (answer === null) return null;
  const { joining } = answer;
  const sizes = joining.sizes_the_rule_allows;
  return (
    <div class="follows">
      <h3 class="follow-title">{titled ? joining.title : "What follows"}</h3>
      <p>{joining.meaning}</p>
      <div class="follow-sizes">
        <Scale answer={answer} />
        <ul>
          {sizes.map((each) => <li key={each.what}><span>{each.what}</span> <b class="figures">{each.smallest_mm === null ? "up to " : `${figure(each.smallest_mm, 2)} to `}{figure(each.largest_mm, 2)} mm</b></li>)}
          {sizes.length === 0 && <li class="dim">No size is worked out here{answer.vessel === null ? ": the vessel is not measured in this place, or a space is not told" : ""}.</li>}
          {answer.tissue_mm && <li><span>Tissue between</span> <b class="figures">{readingWords(answer.tissue_mm.value, answer.tissue_mm.sd, "mm")}</b>{answer.thin_part_mm && <span class="dim"> about so thin over {figure(answer.thin_part_mm.value, 1)} mm</span>}</li>}
        </ul>
      </div>
      <TypedVessel answer={answer} />
      {joining.cautions.length > 0 && <ul class="bench-warnings">{joining.cautions.map((line) => <li key={line}><span aria-hidden="true">▲</span> {line}</li>)}</ul>}
      <Lines title="Look at first" lines={joining.look_first} />
      <Beside />
      <Lines title="What the trade lists, in its order" lines={joining.manoeuvres} />
      {joining.avoid !== "" && <Lines title="Usually avoided" lines={[joining.avoid]} />}
      <Lines title="Before a wire is brought out of the other guide" lines={joining.before_a_wire_is_brought_out} />
      <p class="dim small">Sources: {joining.sources.map((id) => sourceOf.value.get(id)?.citation ?? id).join("; ")}. {joining.note}</p>
    </div>
  );
}
