// SPDX-License-Identifier: Apache-2.0
// The measuring panel under the picture: what to do next, what was found, what its uncertainty is made of, accept.
import { channels, rows } from "../state/store";
import type { LengthAnswer, PixelSizeAnswer } from "../wire/shapes";
import { countOf, reading } from "../words/number";
import { picture } from "./desk";
import { GapBench } from "./gap/bench";
import * as measuring from "./measuring";
import { niceTop, Parts, SoftBar } from "./parts";
import { Trace } from "./trace/bench";

function Warnings({ texts }: { readonly texts: readonly string[] }) {
  if (texts.length === 0) return null;
  return <ul class="bench-warnings">{texts.map((text) => <li key={text}><span aria-hidden="true">▲</span> {text}</li>)}</ul>;
}

function Next({ words }: { readonly words: string }) {
  return <p class="next" role="status">{words}</p>;
}

function LengthFound({ found }: { readonly found: LengthAnswer }) {
  const lengths = rows.value.filter((row) => row.type === "reading" && row.unit === "mm").flatMap((row) => (row.per_channel
    ? channels.value.map((channel) => ({ key: `${row.name}/${channel}`, label: `${row.label}, ${channel}` })) : [{ key: row.name, label: row.label }]));
  const { value, sd } = found.length_mm;
  return (
    <>
      <div class="found">
        <p class="big figures" aria-label="Length found">{reading(value, sd, "mm")}</p>
        <SoftBar value={value} sd={sd} top={niceTop(value + 2 * (sd ?? 0))} unit="mm" />
        <p class="dim">{found.method}</p>
      </div>
      <div class="made"><h3>Made of</h3><Parts parts={found.parts} unit="mm" /><Warnings texts={found.warnings} /></div>
      <div class="accept">
        <label class="select">fills
          <select value={measuring.target.value} onChange={(event) => { measuring.target.value = event.currentTarget.value; }}>
            {lengths.map((each) => <option key={each.key} value={each.key}>{each.label}</option>)}
          </select>
        </label>
        <button type="button" class="main" disabled={measuring.busy.value} onClick={() => void measuring.acceptLength()}>{measuring.target.value === measuring.kOcclusionLength ? "Accept as occlusion length" : "Accept"}</button>
      </div>
    </>
  );
}

function Ruler() {
  const scale = measuring.scaleInForce.value;
  const n = measuring.points.value.length;
  if (scale === null) {
    return <><Next words="Pixels only: this run says nothing about its geometry. Take the scale from a catheter of known size first." />
      <div class="accept"><button type="button" class="main" onClick={() => measuring.begin("catheter")}>Scale from a catheter</button></div></>;
  }
  const found = measuring.lengthFound.value;
  return (
    <>
      {!found && <Next words={n === 0 ? "Click along the vessel from cap to cap." : `${countOf(n, "point", "points")}: click on along the vessel.`} />}
      {scale.from === "geometry" && <p class="dim bench-note">The scale is by geometry, at the isocentre. A catheter of known size in this view is an independent check.</p>}
      {found && <LengthFound found={found} />}
    </>
  );
}

function ScaleFound({ found }: { readonly found: PixelSizeAnswer }) {
  return (
    <>
      <div class="found"><p class="mid figures" aria-label="Scale found">{reading(found.mm_per_px, found.sd_mm_per_px, "mm")} <span class="dim">a pixel</span></p><p class="dim">{found.method}</p></div>
      <div class="made"><h3>Made of</h3><Parts parts={found.parts} unit="mm a pixel" /><Warnings texts={found.warnings} /></div>
      <div class="accept"><button type="button" class="main" disabled={measuring.busy.value} onClick={() => void measuring.acceptScale(found, measuring.points.value.length === 2)}>Accept this scale</button></div>
    </>
  );
}

function Catheter() {
  const found = measuring.scaleFound.value;
  const across = measuring.how.value === "across";
  const n = measuring.points.value.length;
  return (
    <>
      <fieldset class="choice"><legend>Catheter, French</legend>
        {measuring.kFrenches.map((size) => (
          <label key={size}><input type="radio" name="french" checked={measuring.french.value === size} onChange={() => { measuring.french.value = size; measuring.measure(true); }} /><span>{size}</span></label>
        ))}
      </fieldset>
      <fieldset class="choice"><legend>Points</legend>
        <label><input type="radio" name="how" checked={!across} onChange={() => { measuring.how.value = "along"; measuring.measure(true); }} /><span>along the shaft</span></label>
        <label><input type="radio" name="how" checked={across} onChange={() => { measuring.how.value = "across"; measuring.measure(true); }} /><span>its two edges</span></label>
      </fieldset>
      {picture.value?.pixel_size && <button type="button" onClick={() => void measuring.byGeometry()}>By geometry instead</button>}
      {!found && n < 2 && <Next words={across ? "Click one edge of the catheter, then the other." : "Drag along a straight piece of the catheter's shaft."} />}
      {found && <ScaleFound found={found} />}
    </>
  );
}

const kNames = { none: "", ruler: "Ruler", catheter: "Scale", trace: "Trace", gap: "Caps" } as const;

export function Bench() {
  const task = measuring.task.value;
  if (task === "none" || picture.value === null) return null;
  return (
    <section class="bench" aria-label={kNames[task]} aria-busy={measuring.busy.value}>
      <h2 class="unseen">{kNames[task]}</h2>
      {task === "ruler" ? <Ruler /> : task === "trace" ? <Trace /> : task === "gap" ? <GapBench /> : <Catheter />}
      {measuring.trouble.value !== "" && <p class="bench-trouble" role="alert"><span aria-hidden="true">▲</span> {measuring.trouble.value}</p>}
      <div class="bench-end">
        {measuring.points.value.length > 0 && <button type="button" class="quiet" onClick={measuring.clearPoints}>Clear points</button>}
        <button type="button" class="quiet" onClick={() => measuring.begin("none")}>Put down</button>
      </div>
    </section>
  );
}
