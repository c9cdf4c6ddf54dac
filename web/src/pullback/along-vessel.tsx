// SPDX-License-Identifier: Apache-2.0
// Where this frame lies on the angiogram: the traced vessel on its picture, its diameter as a strip, the places that were
// named in both. A click in either goes to that place; the frame that stands is marked in both.
import { useEffect, useRef, useState } from "preact/hooks";
import { toRgba } from "../image/painter";
import { readFrames } from "../wire/engine";
import { figure } from "../words/number";
import * as desk from "./desk";
import { marks } from "./kept";
import { indexAt, nearestOn, stripPath } from "./strip";
import * as vessel from "./vessel";

const kWide = 320;
const kHigh = 84;

function Picture() {
  const host = useRef<HTMLCanvasElement>(null);
  const of = vessel.chosen.value;
  const image = vessel.image.value;
  useEffect(() => {
    if (of === null || image === null) return undefined;
    const stop = new AbortController();
    readFrames(of.image, of.frame, of.frame, stop.signal).then((body) => {
      const canvas = host.current;
      if (canvas === null || stop.signal.aborted) return;
      canvas.width = image.columns;
      canvas.height = image.rows;
      canvas.getContext("2d")?.putImageData(toRgba(image.bits === 16 ? new Uint16Array(body) : new Uint8Array(body), image, image.window, image.inverse), 0, 0);
    }).catch(() => undefined); // the strip says the same without the picture
    return () => stop.abort();
  }, [of?.entry, image?.hash]);
  const trace = vessel.trace.value;
  if (of === null || image === null || trace === null) return null;
  const along = trace.along_mm ?? [];
  const here = vessel.here.value;
  const at = (mm: number | null) => (mm === null ? undefined : trace.centreline[indexAt(along, mm)]);
  const frame = here !== null && here.along_mm >= 0 && here.along_mm <= vessel.length.value ? at(here.along_mm) : undefined;
  const spot = at(vessel.spot.value);
  const r = image.columns / 40;
  const click = (event: MouseEvent & { readonly currentTarget: SVGSVGElement }) => {
    const box = event.currentTarget.getBoundingClientRect();
    const index = nearestOn(trace.centreline, ((event.clientX - box.left) / box.width) * image.columns, ((event.clientY - box.top) / box.height) * image.rows);
    const mm = along[index];
    if (mm !== undefined) vessel.goTo(mm);
  };
  return (
    <div class="vessel-picture">
      <canvas ref={host} aria-hidden="true" />
      <svg viewBox={`0 0 ${image.columns} ${image.rows}`} onClick={click} role="img" aria-label={here === null ? "The traced vessel; name a place in both to lay the pullback along it" : `The traced vessel; this frame lies ${figure(here.along_mm, 1)} mm along it`}>
        <polyline class="course" points={trace.centreline.map(([x, y]) => `${x},${y}`).join(" ")} />
        {marks.value.pairs.map((pair) => { const p = at(pair.along_mm); return p && <circle key={pair.frame} class="pair" cx={p[0]} cy={p[1]} r={r * 0.6} />; })}
        {spot && <circle class="spot" cx={spot[0]} cy={spot[1]} r={r * 1.2} />}
        {frame && <circle class="here-on" cx={frame[0]} cy={frame[1]} r={r} />}
      </svg>
    </div>
  );
}

function Strip() {
  const trace = vessel.trace.value;
  const along = trace?.along_mm ?? null;
  const across = trace?.diameter_mm ?? null;
  if (along === null || across === null) return null;
  const total = vessel.length.value;
  const x = (mm: number) => (mm / total) * kWide;
  const here = vessel.here.value;
  const spot = vessel.spot.value;
  const now = spot ?? here?.along_mm ?? 0;
  const click = (event: MouseEvent & { readonly currentTarget: HTMLDivElement }) => {
    const box = event.currentTarget.getBoundingClientRect();
    vessel.goTo(((event.clientX - box.left) / box.width) * total);
  };
  const key = (event: KeyboardEvent) => {
    const by: Record<string, number> = { ArrowLeft: -0.5, ArrowDown: -0.5, ArrowRight: 0.5, ArrowUp: 0.5, PageDown: -5, PageUp: 5 };
    const step = by[event.key];
    if (step !== undefined) vessel.goTo(now + step);
    else if (event.key === "Home") vessel.goTo(0);
    else if (event.key === "End") vessel.goTo(total);
    else return;
    event.preventDefault();
    event.stopPropagation();
  };
  return (
    <div class="vessel-strip" tabIndex={0} role="slider" aria-label="Along the traced vessel" aria-valuemin={0} aria-valuemax={Math.round(total)} aria-valuenow={Math.round(now)}
      aria-valuetext={`${figure(now, 1)} mm`} onClick={click} onKeyDown={key}>
      <svg viewBox={`0 0 ${kWide} ${kHigh}`} preserveAspectRatio="none" aria-hidden="true">
        <path class="vessel-shape" d={stripPath(along, across, kWide, kHigh)} />
        {here && <rect class="doubt" x={x(here.along_mm - here.sd_mm)} width={Math.max(1, x(2 * here.sd_mm))} y={0} height={kHigh} />}
        {marks.value.pairs.map((pair) => <line key={pair.frame} class="pair" x1={x(pair.along_mm)} x2={x(pair.along_mm)} y1={0} y2={kHigh} />)}
        {spot !== null && <line class="spot" x1={x(spot)} x2={x(spot)} y1={0} y2={kHigh} />}
        {here && <line class="here-on" x1={x(here.along_mm)} x2={x(here.along_mm)} y1={0} y2={kHigh} />}
      </svg>
    </div>
  );
}

function Pairs() {
  const [name, setName] = useState("");
  const { pairs } = marks.value;
  const spot = vessel.spot.value;
  return (
    <>
      <form class="pair-new" onSubmit={(event) => { event.preventDefault(); vessel.pairHere(name); setName(""); }}>
        <label>What shows in both<input value={name} maxLength={40} onInput={(event) => setName(event.currentTarget.value)} placeholder="first diagonal" /></label>
        <button type="submit" disabled={spot === null}>{spot === null ? "Click the place on the vessel first" : `Frame ${desk.beside.value + 1} lies at ${figure(spot, 1)} mm`}</button>
      </form>
      {pairs.length > 0 && (
        <ul class="pairs" aria-label="Places named in both">
          {pairs.map((pair) => (
            <li key={pair.frame}>
              <button type="button" class="quiet" onClick={() => { vessel.spot.value = pair.along_mm; desk.jump(pair.frame); }}>{pair.name ?? "place"}: frame {pair.frame + 1}, {figure(pair.along_mm, 1)} mm</button>
              <button type="button" class="quiet" aria-label={`Take back ${pair.name ?? "place"} at frame ${pair.frame + 1}`} onClick={() => vessel.takeBack(pair)}>Take back</button>
            </li>
          ))}
        </ul>
      )}
    </>
  );
}

export function AlongVessel() {
  useEffect(() => vessel.attend(), []);
  const all = vessel.traces.value;
  const here = vessel.here.value;
  if (desk.reading.value === null) return null;
  return (
    <section class="along-vessel" aria-label="On the angiogram">
      <h3>On the angiogram</h3>
      {all.length === 0 && <p class="dim">No vessel of this case was traced yet: trace one on the angiogram, accept its length, and it can be chosen here.</p>}
      {all.length > 0 && (
        <label>Traced vessel<select value={vessel.chosen.value?.entry ?? ""} onChange={(event) => vessel.choose(event.currentTarget.value)}>
          <option value="">none</option>{all.map((each) => <option key={each.entry} value={each.entry}>{each.words}</option>)}</select></label>
      )}
      {vessel.chosen.value !== null && <><Picture /><Strip />
        {here !== null && <p role="status">This frame lies <b class="figures">{figure(here.along_mm, 1)} ± {figure(here.sd_mm, 1)} mm</b> along the trace{here.beyond ? ", beyond the named places" : ""}.</p>}
        {vessel.trace.value?.along_mm != null && <Pairs />}
        {(vessel.aligned.value?.remarks ?? []).map((text) => <p key={text} class="warn small">▲ {text}</p>)}
        {vessel.trouble.value !== "" && <p class="warn" role="alert">▲ {vessel.trouble.value}</p>}
        <p class="dim small">A branch's origin shows in both. Between named places frames are taken to lie evenly; lengths of the angiogram are as seen in that view.</p></>}
    </section>
  );
}
