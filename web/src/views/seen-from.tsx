// SPDX-License-Identifier: Apache-2.0
// Seen from where? The map first, then each view with what it gives and what it costs; the weights are the reader's.
import { useSignal } from "@preact/signals";
import { useEffect, useId } from "preact/hooks";
import { open, past } from "../state/store";
import { figure } from "../words/number";
import { asked, askViews, views, viewsOf, viewsTrouble } from "./ask";
import { kUsual, kWeights } from "./asked";
import { chooseView, chosenView, overlapWords } from "./chosen";
import { Leave } from "./leave";
import { anglesWords, hereAt, kField, mapPicture, moved, type Here, type MapPicture } from "./picture";
import type { Views, WorkingView } from "./shapes";

const gray = (value: number | null): string => (value === null ? "not known" : `${figure(value, 1)} Gy`);
const share = (value: number): string => `${figure(value, 0)} %`;

function Shapes({ drawn, hatch }: { readonly drawn: MapPicture; readonly hatch: string }) {
  const { left, right, top, bottom } = kField;
  return (
    <>
      <defs>
        <pattern id={`${hatch}o`} width="7" height="7" patternUnits="userSpaceOnUse" patternTransform="rotate(45)"><path class="hatch" d="M0 0V7" /></pattern>
        <pattern id={`${hatch}x`} width="9" height="9" patternUnits="userSpaceOnUse"><path class="crossed" d="M1 1L6 6M6 1L1 6" /></pattern>
      </defs>
      <path d={drawn.hatched} fill={`url(#${hatch}o)`} />
      <path d={drawn.out} fill={`url(#${hatch}x)`} />
      <rect class="rails" x={left} y={top} width={right - left} height={bottom - top} />
      {drawn.across.map((tick) => <g key={tick.text}><path class="tick-line" d={`M${tick.x} ${top}V${bottom}`} /><text x={tick.x} y={bottom + 18} text-anchor="middle">{tick.text}</text></g>)}
      {drawn.down.map((tick) => <g key={tick.text}><path class="tick-line" d={`M${left} ${tick.y}H${right}`} /><text x={left - 4} y={tick.y + 4} text-anchor="end">{tick.text.replace("CRA ", "+").replace("CAU ", "−")}</text></g>)}
      {drawn.beads.map((bead) => <circle key={`${bead.x},${bead.y}`} class={`bead${bead.gy >= 2 ? " hot" : ""}`} cx={bead.x} cy={bead.y} r={bead.r} />)}
      {drawn.lines.map((line) => (
        <g key={line.level} class={`level level-${line.level}`}>
          <path d={line.path} />
          {line.label && <text x={line.label.x} y={line.label.y + 4} text-anchor="middle">{line.level} %</text>}
        </g>))}
      {drawn.marks.map((mark) => (
        <g key={`${mark.kind}${mark.letter}`} class={`view-mark ${mark.kind}`}>
          <circle cx={mark.x} cy={mark.y} r={mark.kind === "chosen" ? 15 : mark.kind === "now" ? 13 : 10} />
          <text x={mark.x} y={mark.y + 4.5} text-anchor="middle">{mark.letter}</text>
        </g>))}
    </>
  );
}

function readHere(answer: Views, here: Here): string {
  const { map } = answer;
  const cell = here.row * map.primary_deg.count + here.column;
  const primary = map.primary_deg.from + here.column * map.primary_deg.step;
  const secondary = map.secondary_deg.from + here.row * map.secondary_deg.step;
  const reach = map.reach[cell] === "o" ? "; out of reach or forbidden" : map.reach[cell] === "c" ? "; steep, check the reach" : "";
  const skin = map.skin_gy.length > 0 ? `, skin there ${figure(map.skin_gy[cell] ?? 0, 1)} Gy` : "";
  return `${anglesWords(primary, secondary)}: ${share(map.foreshortening_pct[cell] ?? 0)} hidden, ${overlapWords(answer, map.overlap_pct[cell] ?? 0)}, dose rate ${figure(map.dose_rate[cell] ?? 0, 1)} times frontal${skin}${reach}`;
}

function ViewMapShown({ answer }: { readonly answer: Views }) {
  const here = useSignal<Here | null>(null);
  const hatch = useId().replaceAll(":", "");
  const { map } = answer;
  const drawn = mapPicture(answer, chosenView.value);
  const best = answer.best[0];
  const start: Here = best
    ? { column: Math.round((best.primary_deg - map.primary_deg.from) / map.primary_deg.step), row: Math.round((best.secondary_deg - map.secondary_deg.from) / map.secondary_deg.step) }
    : { column: 0, row: 0 };
  const now = here.value;
  const step = (event: KeyboardEvent) => {
    if (!event.key.startsWith("Arrow")) return;
    event.preventDefault();
    here.value = now === null ? start : moved(map, now, event.key, event.shiftKey ? 5 : 1);
  };
  const point = (event: PointerEvent & { readonly currentTarget: SVGSVGElement }) => {
    const box = event.currentTarget.getBoundingClientRect();
    here.value = hereAt(map, ((event.clientX - box.left) / box.width) * kField.width, ((event.clientY - box.top) / box.height) * kField.height);
  };
  const x = now && kField.left + (now.column / Math.max(1, map.primary_deg.count - 1)) * (kField.right - kField.left);
  const y = now && kField.bottom - (now.row / Math.max(1, map.secondary_deg.count - 1)) * (kField.bottom - kField.top);
  return (
    <div class="view-map" role="group" tabIndex={0} aria-label="View map: arrow keys move the cross, with Shift five steps" onKeyDown={step}>
      <svg viewBox={`0 0 ${kField.width} ${kField.height}`} role="img" onPointerDown={point} onPointerMove={(event) => { if (event.buttons > 0 || event.pointerType === "mouse") point(event); }}
        aria-label={`Foreshortening over the angles of the C-arm, lines at 5, 10 and 20 %. ${drawn.marks.map((mark) => (mark.letter === "" ? mark.view : `${mark.letter}: ${mark.view}`)).join(", ")}`}>
        <Shapes drawn={drawn} hatch={hatch} />
        {x !== null && y !== null && <path class="here" d={`M${x - 9} ${y}H${x + 9}M${x} ${y - 9}V${y + 9}`} />}
        <text x={kField.left} y={kField.height - 4}>cranial +, caudal −</text>
      </svg>
      <p class="small figures read-here" role="status">{now ? readHere(answer, now) : "Point at the map, or use the arrow keys, to read a view."}</p>
    </div>
  );
}

function Choose({ answer, what, view }: { readonly answer: Views; readonly what: string; readonly view: WorkingView }) {
  const chosen = chosenView.value;
  const here = chosen !== null && chosen.primary_deg === view.primary_deg && chosen.secondary_deg === view.secondary_deg;
  return <button type="button" class="quiet choose" aria-pressed={here} aria-label={`Choose ${view.view} to work in`} onClick={() => void chooseView(answer, view, what)}>{here ? "✓ chosen" : "choose"}</button>;
}

interface RowProps {
  readonly letter: string;
  readonly what: string;
  readonly view: WorkingView;
  readonly skin: boolean;
  readonly answer: Views;
  readonly fixed?: boolean; // shown, not offered
}
function Row({ letter, what, view, skin, answer, fixed }: RowProps) {
  return (
    <tr>
      <th scope="row"><span class="view-letter">{letter}</span> {what} <b>{view.view}</b>{view.why !== "" && <span class="warn small">▲ {view.why}</span>}{view.tube_at_operator && <span class="small dim">tube on the operator's side</span>}{!fixed && <Choose answer={answer} what={what} view={view} />}</th>
      <td class="figures">{share(view.foreshortening_pct)}</td><td class="figures">{answer.considered.length === 0 ? "?" : share(view.overlap_pct)}</td>
      <td class="figures">{figure(view.dose_rate, 1)} ×</td>{skin && <td class="figures">{gray(view.skin_gy)}</td>}
    </tr>
  );
}

function Table({ answer }: { readonly answer: Views }) {
  const skin = answer.map.skin_gy.length > 0;
  const [first, ...more] = answer.best;
  return (
    <div class="wide" tabIndex={0} role="region" aria-label="Views in figures">
      <table class="view-table">
        <thead><tr><th scope="col">view</th><th scope="col">hidden</th><th scope="col">over&shy;lapped</th><th scope="col">dose rate</th>{skin && <th scope="col">skin so far</th>}</tr></thead>
        <tbody>
          {first && <Row letter="A" what="shows most" view={first} skin={skin} answer={answer} />}
          {answer.second && <Row letter="B" what={`second, ${figure(answer.second.about_vessel_deg, 0)}° about the vessel`} view={answer.second} skin={skin} answer={answer} />}
          {more.map((view, index) => <Row key={view.view} letter={["C", "D", "E"][index] ?? ""} what="also" view={view} skin={skin} answer={answer} />)}
          {answer.collateral && <Row letter="K" what={`shows ${answer.collateral.of.name || "the collateral"}, ${share(answer.collateral.of.foreshortening_pct)} of it hidden;`} view={answer.collateral} skin={skin} answer={answer} />}
          {answer.held && <Row letter="now" what="gave most to the hot spot" view={answer.held} skin={skin} answer={answer} fixed />}
          <Row letter="✕" what="looks along the vessel" view={answer.barrel} skin={skin} answer={answer} fixed />
        </tbody>
      </table>
    </div>
  );
}

function Spare({ answer }: { readonly answer: Views }) {
  const found = answer.spare;
  if (!found) return answer.map.skin_gy.length > 0 ? <p class="small dim">No reachable view under the limit leaves the hot spot.</p> : null;
  if (found.turn_deg < 0.5) return <p class="small dim">The view that gave most does not enter the hot spot any more than others do.</p>;
  const lost = found.foreshortening_lost_pct;
  return (
    <section class="st" aria-label="To spare the skin">
      <h3>To spare the skin</h3>
      <p><span class="view-letter">S</span> from {found.from.view} to <b>{found.to.view}</b>: a turn of <span class="figures">{figure(found.turn_deg, 0)}°</span>, the entry moves {figure(found.entry_moves_mm, 0)} mm;
        foreshortening {lost >= 0 ? "+" : "−"}{figure(Math.abs(lost), 0)} points, skin there {gray(found.to.skin_gy)} instead of {gray(found.from.skin_gy)}.</p>
      <Choose answer={answer} what="spares the skin" view={found.to} />
    </section>
  );
}

function Stretch({ answer }: { readonly answer: Views }) {
  const { segment } = answer;
  const onModel = asked.value.model || asked.value.vessel !== "";
  const set = (more: Partial<typeof asked.value>) => { asked.value = { ...asked.value, ...more }; };
  return (
    <details>
      <summary>The stretch and the weights</summary>
      {segment.measurable && (
        <fieldset class="choice"><legend>The segment</legend>
          <label><input type="radio" name="segment" checked={!onModel} onChange={() => set({ model: false, vessel: "", from: null, to: null })} /><span>measured in two views</span></label>
          <label><input type="radio" name="segment" checked={onModel} onChange={() => set({ model: true })} /><span>model heart</span></label>
        </fieldset>)}
      {!answer.target.measured && <><label class="select">Vessel of the model <select value={segment.vessel} onChange={(event) => set({ vessel: event.currentTarget.value, from: null, to: null })}>{segment.vessels.map((name) => <option key={name}>{name}</option>)}</select></label>
      <label>Begins at {figure(100 * segment.from, 0)} % of its length<input type="range" min={0} max={0.95} step={0.01} value={segment.from} onInput={(event) => { const from = Number(event.currentTarget.value); set({ vessel: segment.vessel, from, to: Math.max(segment.to, Math.min(1, from + 0.03)) }); }} /></label>
      <label>Ends at {figure(100 * segment.to, 0)} %<input type="range" min={0.03} max={1} step={0.01} value={segment.to} onInput={(event) => { const to = Number(event.currentTarget.value); set({ vessel: segment.vessel, to, from: Math.min(segment.from, Math.max(0, to - 0.03)) }); }} /></label></>}
      <label>Working views hide less than {asked.value.limit} %<input type="range" min={5} max={50} step={5} value={asked.value.limit} onInput={(event) => set({ limit: Number(event.currentTarget.value) })} /></label>
      {kWeights.map((weight) => {
        const value = asked.value.weights[weight.key] ?? weight.usual;
        return <label key={weight.key}>{weight.words} counts {figure(value, 2)}<input type="range" min={0} max={weight.most} step={weight.most / 60} value={value} onInput={(event) => set({ weights: { ...asked.value.weights, [weight.key]: Number(event.currentTarget.value) } })} /></label>;
      })}
      <button type="button" class="quiet" onClick={() => { asked.value = kUsual; }}>As usual</button>
    </details>
  );
}

function Shown({ answer }: { readonly answer: Views }) {
  return (
    <>
      <p class="small">{answer.target.name}, {figure(answer.target.length_mm, 0)} mm {answer.target.measured ? <span class="measured">◆ measured</span> : <span class="invented">model, not this patient</span>} <span class="dim">{answer.segment.why}</span></p>
      <Leave answer={answer} />
      {chosenView.value && <p>Chosen to work in: <b class="figures">{chosenView.value.words}</b> <span class="dim small">{chosenView.value.note}</span></p>}
      <ViewMapShown answer={answer} />
      <p class="small dim legend">Lines: foreshortening 5, 10, 20 % · {answer.considered.length === 0 ? "overlap not known: no other vessel is measured" : `hatched: overlapped, ${answer.considered.length} vessels considered`} · beads: skin exposed{answer.map.skin_gy.length === 0 ? ": not known" : ""} · crosses: out of reach</p>
      <Table answer={answer} />
      <Spare answer={answer} />
      <Stretch answer={answer} />
      <details><summary>What this assumes</summary><ul class="small">{answer.notes.map((note) => <li key={note}>{note}</li>)}<li>Overlap considered for: {answer.considered.length > 0 ? answer.considered.join(", ") : "nothing"}</li><li>C-arm: {answer.gantry}</li><li>Skin from: {answer.skin_from === "" ? "nothing known" : answer.skin_from}</li></ul></details>
      <p class="small dim">{answer.caution}</p>
    </>
  );
}

export function SeenFrom() {
  const id = open.value?.case.id ?? "";
  useEffect(() => {
    if (id === "" || past.value !== null) return;
    return askViews(id, asked.value);
  }, [id, open.value?.seq, asked.value, past.value]);
  useEffect(() => { asked.value = kUsual; }, [id]);
  const answer = viewsOf.value === id ? views.value : null;
  return (
    <section class="pane seen-from" aria-label="Seen from where?" aria-busy={answer === null && viewsTrouble.value === ""}>
      <h2>Seen from where?</h2>
      {viewsTrouble.value !== "" && <p class="warn" role="status">▲ {viewsTrouble.value}</p>}
      {answer ? <Shown answer={answer} /> : <p class="dim">The engine is working it out.</p>}
    </section>
  );
}
