// SPDX-License-Identifier: Apache-2.0
// The trace's panel: what to do next, the profile, the figures with their spread, what they are made of, accept.
import { reading } from "../../words/number";
import * as measuring from "../measuring";
import { Parts } from "../parts";
import { Profile } from "./profile";
import * as tracing from "./tracing";

function Warnings({ texts }: { readonly texts: readonly string[] }) {
  return <ul class="bench-warnings">{texts.map((text) => <li key={text}><span aria-hidden="true">▲</span> {text}</li>)}</ul>;
}

function Figures() {
  const trace = tracing.found.value;
  if (!trace) return null;
  const length = trace.length_mm ?? { ...trace.length_px, method: trace.method };
  const narrowing = trace.narrowing;
  return (
    <dl class="trace-figures">
      <div><dt>length in the picture</dt><dd class="figures" aria-label="Length traced">{reading(length.value, length.sd, trace.length_mm ? "mm" : "px")}</dd></div>
      {trace.mean_diameter_mm && <div><dt>mean diameter</dt><dd class="figures" aria-label="Mean diameter">{reading(trace.mean_diameter_mm.value, trace.mean_diameter_mm.sd, "mm")}</dd></div>}
      {narrowing && (
        <>
          <div><dt>least diameter</dt><dd class="figures" aria-label="Least diameter">{reading(narrowing.least_mm.value, narrowing.least_mm.sd, "mm")}</dd></div>
          <div><dt>healthy there</dt><dd class="figures">{reading(narrowing.reference_mm.value, narrowing.reference_mm.sd, "mm")}</dd></div>
          <div><dt>diameter stenosis</dt><dd class="figures" aria-label="Diameter stenosis">{reading(narrowing.stenosis_pct.value, narrowing.stenosis_pct.sd, "%")}</dd></div>
        </>
      )}
    </dl>
  );
}

function Before() {
  const was = tracing.before.value;
  const now = tracing.found.value;
  if (was === null || now === null) return null;
  const same = was.method.startsWith(now.method);
  return <p class={same ? "dim bench-note" : "bench-note warn"} role="status">{same ? `Re-opened: accepted then as ${was.words}.` : `Re-opened: accepted then as ${was.words} by ${was.method}. The method is now ${now.method}; both are shown.`}</p>;
}

function Accept() {
  const offers = tracing.offers.value;
  const chosen = offers.find((offer) => offer.key === tracing.target.value) ?? offers[0];
  if (!chosen) return null;
  return (
    <div class="accept">
      <label class="select">fills
        <select value={chosen.key} onChange={(event) => { tracing.target.value = event.currentTarget.value; }}>
          {offers.map((offer) => <option key={offer.key} value={offer.key}>{offer.label}</option>)}
        </select>
      </label>
      <button type="button" class="main" disabled={measuring.busy.value} onClick={() => void tracing.accept(chosen)}>{`Accept ${reading(chosen.value, chosen.sd, chosen.unit)}`}</button>
    </div>
  );
}

export function Trace() {
  const n = measuring.points.value.length;
  const trace = tracing.found.value;
  const scale = measuring.scaleInForce.value;
  return (
    <>
      {!trace && <p class="next" role="status">{n === 0 ? "Click where the stretch of vessel begins." : n === 1 ? "Move along: the path follows. Click where the stretch ends." : "Tracing."}</p>}
      {scale === null && <p class="dim bench-note">Pixels only: take the scale from a catheter of known size for millimetres.</p>}
      {trace && (
        <>
          <Before />
          {trace.ask && <p class="bench-note warn" role="status"><span aria-hidden="true">▲</span> {trace.ask.words}</p>}
          <Profile trace={trace} />
          <Figures />
          <div class="choice trace-edges">
            <button type="button" aria-pressed={tracing.brushing.value} onClick={() => { tracing.brushing.value = !tracing.brushing.value; }}>Draw an edge</button>
            {tracing.strokes.value.length > 0 && <button type="button" class="quiet" onClick={tracing.takeBackStroke}>Take back the last stroke</button>}
          </div>
          {tracing.brushing.value && <p class="dim bench-note" role="status">Draw along the edge as you see it; it outranks the one that was found.</p>}
          {trace.length_mm && <div class="made"><h3>Length, made of</h3><Parts parts={trace.length_mm.parts} unit="mm" /></div>}
          <Warnings texts={trace.warnings} />
          <p class="dim bench-note">Where the path ran along another vessel the figures are that one's: look at the course and the edges before you accept.</p>
          <Accept />
        </>
      )}
    </>
  );
}
