// SPDX-License-Identifier: Apache-2.0
// Does it reach? A usual way, a guide and what goes along; the answer as a ruler. Stretches that were measured replace usual ones.
import { useSignal } from "@preact/signals";
import { useEffect } from "preact/hooks";
import { TakenLater } from "../frame/taken-later";
import { sentence } from "../state/store";
import { askReach } from "./ask";
import { exchangeBody, kWays, reachBody, rulerOf, type Typed } from "./reach-ask";
import { ReachRuler } from "./reach-ruler";
import type { ReachAnswer } from "./shapes";
import { refreshShelf, shelf } from "./shelf-state";
import { reachSign, reserveWords } from "./words";

function BroughtOut({ answer }: { readonly answer: NonNullable<ReachAnswer["externalise"]> }) {
  return (
    <section aria-label="Brought out of the other guide">
      <h3>Brought out of the other guide</h3>
      <table class="items"><thead><tr><th scope="col">wire</th><th scope="col">parked</th><th scope="col">at the guide's tip</th><th scope="col">clear of the lesion</th></tr></thead><tbody>
        {answer.wires.map((wire) => (
          <tr key={wire.name}><th scope="row">{wire.name} <span class="small dim">{wire.may_be_snared ? "may be snared" : "too short: not snared"}</span></th>
            {[wire.parked, wire.at_guide_tip, wire.clear_of_lesion].map((each, index) => <td key={index} class={`figures reach-word ${each.verdict}`}>{reachSign[each.verdict]} {reserveWords(each.reserve_cm, 0)}</td>)}</tr>))}
      </tbody></table>
      <p class="small dim">{answer.rule}</p>
    </section>
  );
}

function TakenOff({ answer }: { readonly answer: NonNullable<ReachAnswer["exchange"]> }) {
  return (
    <section aria-label="Taking the microcatheter off that wire">
      <h3>Taking the microcatheter off that wire</h3>
      <ul class="needs">{answer.ways.map((each) => <li key={each.way} class={`need ${each.works ? "ready" : "missing"}`}><span aria-hidden="true">{each.works ? "✓" : "✕"}</span> <b>{each.way}</b> <span class="unseen">{each.works ? "possible" : "not possible"}</span><span class="dim">{[each.reserve_cm === null ? "" : reserveWords(each.reserve_cm, 0), each.mind ?? ""].filter((piece) => piece !== "").join("; ")}</span></li>)}</ul>
    </section>
  );
}

export function TryReach() {
  const at = useSignal(0);
  const guide = useSignal("");
  const other = useSignal("100");
  const typed = useSignal<readonly Typed[]>([]);
  const adding = useSignal("");
  const names = useSignal<readonly string[]>([]);
  const answer = useSignal<ReachAnswer | null>(null);
  const off = useSignal<ReachAnswer["exchange"]>(null);
  const trouble = useSignal("");
  useEffect(() => { if (shelf.value === null) void refreshShelf(); }, []);
  const devices = shelf.value?.devices ?? [];
  const way = kWays[at.value] ?? kWays[0];
  useEffect(() => {
    off.value = null;
    if (!way || guide.value === "" || names.value.length === 0) { answer.value = null; trouble.value = ""; return; }
    const asking = new AbortController();
    const ask = async () => {
      try {
        const found = await askReach(reachBody(way, guide.value, typed.value, names.value, devices, other.value), asking.signal);
        answer.value = found;
        trouble.value = "";
        const exchange = found.need_cm === null ? null : exchangeBody(found.need_cm.value, guide.value, names.value, devices);
        if (exchange) off.value = (await askReach(exchange, asking.signal)).exchange;
      } catch (error) {
        if (!asking.signal.aborted) { answer.value = null; trouble.value = sentence(error); }
      }
    };
    void ask();
    return () => asking.abort();
  }, [at.value, guide.value, typed.value, names.value, other.value, devices.length]);
  if (!way) return null;
  const put = (index: number, more: Partial<Typed>) => { typed.value = way.segments.map((_, each) => ({ cm: "", oneView: false, ...typed.value[each], ...(each === index ? more : {}) })); };
  const add = () => { if (adding.value.trim() !== "") { names.value = [...names.value, adding.value.trim()]; adding.value = ""; } };
  const drawn = answer.value ? rulerOf(answer.value, way) : null;
  return (
    <section class="pane try-fit try-reach" aria-label="Does it reach?">
      <h2>Does it reach?</h2>
      <datalist id="reach-guides">{devices.filter((each) => each.class === "guide").map((each) => <option key={each.id} value={each.name}>{each.label}</option>)}</datalist>
      <datalist id="reach-devices">{devices.filter((each) => each.usable_cm !== null).map((each) => <option key={each.id} value={each.name}>{`${each.title} ${each.usable_cm ?? ""} cm`}</option>)}</datalist>
      <label class="select">Where to<select value={at.value} onChange={(event) => { typed.value = []; at.value = Number(event.currentTarget.value); }}>{kWays.map((each, index) => <option key={each.words} value={index}>{each.words}</option>)}</select></label>
      <label>Through which guide<TakenLater list="reach-guides" value={guide.value} placeholder="a guide, or its length in cm" autocomplete="off" take={(words) => { guide.value = words.trim(); }} /></label>
      {way.other && <label>The other guide, cm<TakenLater inputMode="decimal" value={other.value} take={(words) => { other.value = words; }} /></label>}
      <form class="add-item" onSubmit={(event) => { event.preventDefault(); add(); }}>
        <label>What goes along<input list="reach-devices" value={adding.value} placeholder="a microcatheter, a wire, …" autocomplete="off" onInput={(event) => { adding.value = event.currentTarget.value; }} /></label>
        <button type="submit">Lay it along</button>
      </form>
      <ul class="put-in" aria-label="Devices along the way">{names.value.map((each, index) => <li key={each + String(index)}>{each} <button type="button" class="plain" aria-label={`Take away ${each}`} onClick={() => { names.value = names.value.filter((_, one) => one !== index); }}>×</button></li>)}</ul>
      <details><summary>Lengths that were measured</summary>
        {way.segments.map((name, index) => (
          <p class="reach-typed" key={name + String(index)}>
            <label>{name}, cm<TakenLater inputMode="decimal" value={typed.value[index]?.cm ?? ""} placeholder="usual" take={(cm) => put(index, { cm })} /></label>
            <label class="tick"><input type="checkbox" checked={typed.value[index]?.oneView ?? false} onChange={(event) => put(index, { oneView: event.currentTarget.checked })} />from one view</label>
          </p>))}
      </details>
      <div aria-live="polite">
        {trouble.value !== "" && <p class="warn">▲ {trouble.value}</p>}
        {drawn && <ReachRuler drawn={drawn} />}
        {answer.value?.runs_out_first && <p>Runs out first: <b>{answer.value.runs_out_first.name}</b>, <span class="figures">{reserveWords(answer.value.runs_out_first.reserve_cm, 0)}</span></p>}
        {answer.value?.externalise && <BroughtOut answer={answer.value.externalise} />}
        {off.value && <TakenOff answer={off.value} />}
        {answer.value && <p class="small dim">{answer.value.caution}</p>}
      </div>
    </section>
  );
}
