// SPDX-License-Identifier: Apache-2.0
// Dose and skin: what irradiated the patient, the skin that follows, what to look at afterwards, and what the files left out.
import { useSignal } from "@preact/signals";
import { useEffect, useRef } from "preact/hooks";
import { drawer, frozen, open, past, sourceOf } from "../state/store";
import { countOf, figure } from "../words/number";
import { useViewsOf } from "../views/ask";
import { Leave } from "../views/leave";
import { sendReport, skinTrouble, useSkin } from "./ask";
import type { GivenDose, Skin, Totals } from "./shapes";
import { SkinBody } from "./skin-body";
import { gray, PeakWords, SkinMap } from "./skin-map";

function Given({ all }: { readonly all: readonly GivenDose[] }) {
  if (all.length === 0) return <p class="dim">No dose report yet. Without one the headers of the runs and the console's total stand in.</p>;
  return (
    <ul class="dose-given">{all.map((each) => (
      <li key={each.entry}>
        <button type="button" class="quiet" onClick={() => { drawer.value = { kind: "entry", id: each.entry }; }}>{each.label}</button>
        <span class="small figures">{each.earlier && <b class="waits">earlier procedure </b>}{each.day === "" ? "no day stated" : each.day} · {countOf(each.events, "event", "events")} · {figure(each.air_kerma_gy, 2)} Gy
          {each.kerma_area_gycm2 > 0 ? ` · ${figure(each.kerma_area_gycm2, 0)} Gy·cm²` : ""}{each.fluoroscopy_min > 0 ? ` · ${figure(each.fluoroscopy_min, 1)} min` : ""}</span>
      </li>))}</ul>
  );
}

function TotalsShown({ totals }: { readonly totals: Totals }) {
  const row = (what: string, stated: number | null, summed: number, unit: string, decimals: number) => (
    <tr><th scope="row">{what}</th><td class="figures">{stated === null ? "not stated" : `${figure(stated, decimals)} ${unit}`}</td><td class="figures">{figure(summed, decimals)} {unit}</td></tr>);
  return (
    <section aria-label="Totals">
      <h3>Totals against the sum of the events</h3>
      <table class="items"><thead><tr><th scope="col">of this procedure</th><th scope="col">stated</th><th scope="col">summed</th></tr></thead><tbody>
        {row("air kerma", totals.stated_air_kerma_gy, totals.summed_air_kerma_gy, "Gy", 3)}
        {row("kerma-area product", totals.stated_kerma_area_gycm2, totals.summed_kerma_area_gycm2, "Gy·cm²", 1)}
      </tbody></table>
      <p class={`small ${totals.agree ? "dim" : "warn"}`}>{totals.stated_air_kerma_gy === null ? "Nothing to compare with." : totals.agree ? "✓ They agree within 2 %." : "▲ They differ by more than 2 %: see below; the larger counts."} Fluoroscopy {figure(totals.fluoroscopy_min, 1)} min.</p>
    </section>
  );
}

function Views({ skin }: { readonly skin: Skin }) {
  if (skin.views.length === 0) return null;
  return (
    <section aria-label="By view">
      <h3>By view</h3>
      <table class="items"><thead><tr><th scope="col">about</th><th scope="col">air kerma</th><th scope="col">at the peak</th></tr></thead><tbody>
        {skin.views.map((view) => <tr key={view.view}><th scope="row">{view.view} <span class="small dim">{countOf(view.events, "event", "events")}</span></th><td class="figures">{figure(view.air_kerma_gy, 2)} Gy</td><td class="figures">{view.at_peak_gy > 0 ? `${figure(view.at_peak_gy, 2)} Gy` : "–"}</td></tr>)}
      </tbody></table>
      {skin.views_in_all > skin.views.length && <p class="small dim">and {skin.views_in_all - skin.views.length} views more</p>}
    </section>
  );
}

const round = (msv: number): string => figure(msv, msv < 10 ? 1 : 0);

function After({ skin }: { readonly skin: Skin }) {
  const { bands } = skin;
  const words = (id: string) => sourceOf.value.get(id)?.citation ?? id;
  return (
    <section aria-label="Afterwards">
      <h3>Afterwards, by the published table</h3>
      <p>Band <b>{bands.name}</b>{bands.name !== bands.at_high && <>, at the upper end <b>{bands.at_high}</b></>}. <span class="dim small">At the upper end: within two weeks {bands.prompt}; to eight weeks {bands.early}; to a year {bands.midterm}; later {bands.longterm}.</span></p>
      {skin.reached.length > 0 && <ul class="small">{skin.reached.map((level) => <li key={level.what}><span class="warn" aria-hidden="true">▲</span> {level.what}: {level.asks} <span class="dim">({words(level.source)})</span></li>)}</ul>}
      {skin.effective && <p class="small">Effective dose about {round(skin.effective.msv)} mSv ({round(skin.effective.low_msv)} to {round(skin.effective.high_msv)}), {skin.effective.by_filter ? "by the filter of each event" : "by one published factor"}: a population figure for comparison, not this patient's risk.</p>}
      <p class="small">The local medical physicist and protocol decide what follows.</p>
      <details><summary>Words for the patient's letter</summary><p class="small">{skin.patient}</p></details>
    </section>
  );
}

function Doubts({ skin }: { readonly skin: Skin }) {
  return (
    <details open={skin.remarks.length > 0 && skin.remarks.length < 6}>
      <summary>What was left out, converted or doubted ({skin.remarks.length + skin.missing.length})</summary>
      <ul class="small">
        {skin.remarks.map((each) => <li key={each}>{each}</li>)}
        {skin.missing.map((each) => <li key={each.what}>{each.what} <span class="dim">({countOf(each.events, "event", "events")})</span></li>)}
      </ul>
      {skin.why.length > 0 && <><h3>The range covers</h3><ul class="small dim">{skin.why.map((each) => <li key={each}>{each}</li>)}<li>{skin.body.size_known ? "Body by height and weight." : "Height and weight are not known: a stand-in of usual size."}</li></ul></>}
    </details>
  );
}

function Add() {
  const earlier = useSignal(false);
  const input = useRef<HTMLInputElement>(null);
  return (
    <div class="dose-add">
      <input ref={input} type="file" class="unseen" tabIndex={-1} aria-hidden="true" onChange={(event) => {
        const file = event.currentTarget.files?.[0];
        event.currentTarget.value = "";
        if (file) void sendReport(file, earlier.value);
      }} />
      <button type="button" disabled={frozen.value || past.value !== null} onClick={() => input.current?.click()}>Add a dose report</button>
      <label class="tick"><input type="checkbox" checked={earlier.value} onChange={(event) => { earlier.value = event.currentTarget.checked; }} />of an earlier procedure</label>
    </div>
  );
}

export function SkinDrawer() {
  const skin = useSkin();
  const answer = useViewsOf(skin?.peak ? "drawer" : "");
  const title = useRef<HTMLHeadingElement>(null);
  useEffect(() => { title.current?.scrollIntoView({ block: "nearest" }); }, [open.value?.case.id]);
  return (
    <div class="skin-drawer">
      <h2 ref={title}>Dose and skin</h2>
      {past.value !== null && <p class="dim">This is the case as it was; the skin is worked out for now only.</p>}
      {skinTrouble.value !== "" && <p class="warn" role="status">▲ {skinTrouble.value}</p>}
      {skin && (
        <>
          {skin.peak
            ? <section aria-label="Peak skin dose"><h3>Peak skin dose, estimated</h3><PeakWords peak={skin.peak} />{answer && !skin.peak.from_totals && <Leave answer={answer} />}<SkinMap skin={skin} />
              <p class="small dim">{skin.peak.from_totals ? "From the air kerma alone: no event says from where it came." : skin.peak.where}; from {skin.from}{skin.air_kerma_gy > 0 ? `; air kerma ${gray(skin.air_kerma_gy)} Gy in all` : ""}</p></section>
            : <p>Nothing is known of any radiation in this case.</p>}
          {skin.peak && !skin.peak.from_totals && <SkinBody skin={skin} />}
          <Given all={skin.given} />
          {skin.totals && <TotalsShown totals={skin.totals} />}
          <Views skin={skin} />
          {skin.peak && <After skin={skin} />}
          {skin.remarks.length + skin.missing.length + skin.why.length > 0 && <Doubts skin={skin} />}
        </>)}
      <Add />
      {skin && <p class="small dim">{skin.caution}</p>}
    </div>
  );
}
