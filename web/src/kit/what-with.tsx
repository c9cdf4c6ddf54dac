// SPDX-License-Identifier: Apache-2.0
// What with? The tray of the ladder: fit discs, reach rulers, what is missing, the bail-out list, the pick list.
import { signal, useSignal } from "@preact/signals";
import { useEffect } from "preact/hooks";
import { TakenLater } from "../frame/taken-later";
import { open, sentence } from "../state/store";
import { askTray } from "./ask";
import { FitDisc } from "./disc";
import { PickList } from "./pick-list";
import { ReachRuler } from "./reach-ruler";
import { rulerPicture } from "./ruler";
import type { External, Group, Guide, Need, Tray, TrayWay } from "./shapes";
import { reachSign, reserveWords, stateSign } from "./words";

const kAll = ["AW", "ADR", "RDR", "RW"] as const;
// Chosen by hand; null: as the ladder stands.
export const trayStrategies = signal<readonly string[] | null>(null);
const radial = signal("");

function Strategies({ tray }: { readonly tray: Tray | null }) {
  const served = trayStrategies.value ?? tray?.strategies ?? [];
  const turn = (each: string) => {
    const next = served.includes(each) ? served.filter((one) => one !== each) : [...served, each];
    trayStrategies.value = next.length === 0 ? null : next;
  };
  return (
    <div class="tray-asked">
      <div class="choice" role="group" aria-label="Strategies that the tray serves">
        <button type="button" aria-pressed={trayStrategies.value === null} onClick={() => { trayStrategies.value = null; }}>As the ladder stands</button>
        {kAll.map((each) => <button type="button" key={each} aria-pressed={served.includes(each)} onClick={() => turn(each)}>{each}</button>)}
      </div>
      <label class="small">Radial artery, mm<TakenLater inputMode="decimal" value={radial.value} placeholder="not by the wrist" take={(words) => { radial.value = words.trim(); }} /></label>
    </div>
  );
}

// In the solver's order: each way with its chance and with what it lacks.
function Ways({ ways }: { readonly ways: readonly TrayWay[] }) {
  const planned = ways.filter((way) => way.in_plan || way.under_way);
  const others = ways.filter((way) => !way.in_plan && !way.under_way);
  if (ways.length === 0) return null;
  return (
    <section aria-label="Ways in the ladder's order">
      <h3>In the ladder's order</h3>
      <ol class="rungs tray-ways">
        {planned.map((way, at) => (
          <li class="rung" key={way.id}>
            <p class="rung-name"><span class="rung-at">{at + 1}</span> <b>{way.id}</b> <span class="dim">{way.words}</span> <span class="figures small">{way.under_way ? "under way" : ""}{way.chance}{at > 0 && way.chance !== "" ? " of what is left" : ""}</span></p>
            {!way.asked ? <p class="small dim">not on this tray</p> : way.missing.length === 0 ? <p class="small sure">✓ all its kit is on the shelf</p>
              : <p class="small">{way.missing.map((each) => <span key={each.what} class={each.state === "missing" ? "warn" : "dim"}>{stateSign[each.state]} {each.what} </span>)}</p>}
          </li>))}
      </ol>
      {planned.length === 0 && <p class="small">Within the limits the ladder starts no way; the tray serves all of them.</p>}
      {others.length > 0 && <p class="small dim">Not in the ladder as the limits stand: {others.map((way) => way.id).join(", ")}.</p>}
    </section>
  );
}

const discOf = (guide: Guide, group: Group) => ({
  title: group.why, lumen: guide.guide?.lumen_mm ?? 0, verdict: group.verdict, margin: group.margin_mm, smallest: group.smallest_lumen_mm,
  tooClose: group.too_close_to_call, places: group.resting.length > 0 ? group.resting : group.positions, worst: group.worst, order: group.order,
  flow: group.flow_left, rounding: { sensitive: group.sensitive, passes: group.odds_passes, fits: group.odds_fits }, notes: group.off_label,
});

function GuideShown({ guide, tray }: { readonly guide: Guide; readonly tray: Tray }) {
  const segments = guide.side === "retrograde" ? tray.routes.retrograde : tray.routes.antegrade;
  const drawn = rulerPicture(guide.side, tray.routes.valve, guide, segments, tray.needs);
  return (
    <section class={`tray-side ${guide.side}`}>
      <h3>{guide.side === "retrograde" ? "Retrograde" : "Antegrade"}: {guide.guide ? <><b>{guide.guide.name}</b> <span class="dim">{guide.guide.label}{guide.sheath ? `, through ${guide.sheath}` : ""}</span></> : <span class="warn">no guide in the drawer</span>}</h3>
      {guide.groups.map((group) => <FitDisc key={group.why} given={discOf(guide, group)} />)}
      {drawn ? <ReachRuler drawn={drawn} /> : <p class="small dim">Reach: the {guide.side === "retrograde" ? "channel" : "occluded vessel"} is not known.</p>}
    </section>
  );
}

function OutOfTheOtherGuide({ external }: { readonly external: External }) {
  return (
    <section class="brought-out">
      <h3>If a wire must come out of the other guide</h3>
      <table class="items"><tbody>{external.stages.map((each) => (
        <tr key={each.stage}><th>{external.microcatheter} {each.stage}</th><td class="figures">{Math.round(each.need_cm)} cm</td>
          <td class={`figures reach-word ${each.verdict ?? ""}`}>{each.verdict ? `${reachSign[each.verdict]} ${reserveWords(each.reserve_cm ?? 0, 0)}` : "no wire"}</td></tr>))}</tbody></table>
      <p class="small">{external.wire === null ? "No wire of the shelf is long enough: pass the wire into an antegrade microcatheter instead." : external.wire.may_be_snared
        ? `${external.wire.name}, ${external.wire.length_cm} cm: long enough to be brought out; snare its soft shaft only.`
        : `${external.wire.name}, ${external.wire.length_cm} cm: too short to be brought out, so it is not snared.`}</p>
    </section>
  );
}

function NeedLine({ need }: { readonly need: Need }) {
  const names = need.pieces.map((each) => `${(each.count ?? 1) > 1 ? `${each.count ?? 1} × ` : ""}${each.name}`).join(", ");
  return <li class={`need ${need.state}`}><span aria-hidden="true">{stateSign[need.state]}</span> <b>{need.what}</b> <span class="unseen">{need.state}</span><span class="dim">{[names, need.remark].filter((each) => each !== "").join(": ")}</span></li>;
}

function Shown({ tray }: { readonly tray: Tray }) {
  const wanting = tray.needs.filter((each) => each.state !== "ready");
  const bailing = tray.bailout.filter((each) => each.state !== "ready");
  return (
    <>
      {wanting.length > 0 && <section><h3 class="warn">Not ready</h3><ul class="needs">{wanting.map((each) => <NeedLine key={each.id} need={each} />)}</ul></section>}
      {tray.conflicts.length > 0 && <ul class="needs">{tray.conflicts.map((each) => <li key={each} class="need doubtful"><span aria-hidden="true">▲</span> {each}</li>)}</ul>}
      {tray.guides.map((each) => <GuideShown key={each.side} guide={each} tray={tray} />)}
      {tray.external && <OutOfTheOtherGuide external={tray.external} />}
      <section class="bail-out">
        <h3>Bail-out {bailing.length === 0 ? <span class="sure">✓ all on the shelf</span> : <span class="warn">{bailing.length} of {tray.bailout.length} not ready</span>}</h3>
        <ul class="needs">{bailing.map((each) => <NeedLine key={each.id} need={each} />)}</ul>
        <details class="small"><summary>The whole bail-out list</summary><ul class="needs">{tray.bailout.map((each) => <NeedLine key={each.id} need={each} />)}</ul><p class="dim">By eye: {tray.by_eye.join("; ")}</p></details>
      </section>
      <PickList tray={tray} />
      <p class="small dim">{tray.caution}</p>
    </>
  );
}

export function WhatWith() {
  const now = open.value;
  const tray = useSignal<Tray | null>(null);
  const trouble = useSignal("");
  useEffect(() => {
    if (now === null) return;
    const asking = new AbortController();
    askTray(now.case.id, trayStrategies.value ?? [], radial.value, asking.signal).then((found) => { tray.value = found; trouble.value = ""; })
      .catch((error: unknown) => { if (!asking.signal.aborted) trouble.value = sentence(error); });
    return () => asking.abort();
  }, [now?.case.id, now?.seq, trayStrategies.value, radial.value]);
  return (
    <section class="pane what-with" aria-label="What with?" aria-busy={tray.value === null && trouble.value === ""}>
      <h2>What with? {tray.value?.invented && <span class="invented">invented shelf</span>}</h2>
      <Strategies tray={tray.value} />
      {tray.value && <Ways ways={tray.value.ways} />}
      {trouble.value !== "" && <p class="warn" role="status">▲ {trouble.value}</p>}
      {tray.value && <Shown tray={tray.value} />}
    </section>
  );
}
