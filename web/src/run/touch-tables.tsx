// SPDX-License-Identifier: Apache-2.0
// The tables and planes of the log by touch: a cell touched stands in the bar, to be entered; a slide from it says more.
import { signal } from "@preact/signals";
import { useEffect, useRef, useState } from "preact/hooks";
import { searchShelf } from "../kit/ask";
import { channels, open } from "../state/store";
import type { GrammarVerb } from "./grammar";
import { board } from "./live";
import { landed, moved, planeOf, type Plane } from "./plane";
import { slid, tablesOf, type Known, type Table } from "./tables";
import type { NumberBoard } from "./numbers";

// What the case itself says of its kit in the body, its channels, and the segment that is worked in.
function knownNow(): Known {
  const inBody = (board.value?.lanes ?? []).flatMap((lane) => lane.devices.filter((each) => each.tag !== "").map((each) => ({ tag: each.tag, side: lane.side === "retrograde" ? "r" as const : "a" as const })));
  const logged = (open.value?.journal ?? []).flatMap((line) => (line.kind === "run" ? line.text.match(/\bc\d+\b/g) ?? [] : []));
  return { inBody, channels: [...new Set([...channels.value, ...logged])].sort(), running: board.value?.attempt?.strategy ?? "" };
}
export const segment = signal<string | null>(null); // chosen here; null: as the case says
function segmentNow(): string {
  if (segment.value !== null) return segment.value;
  const said = open.value?.journal.map((line) => /\bseg:(\S+)/.exec(line.text)?.[1]).filter((each) => each !== undefined).at(-1);
  const fact = open.value?.facts.find((each) => each.name === "cto_segment")?.value;
  return said ?? (typeof fact === "string" ? fact : "");
}

// What the lab's shelf has of a verb's kit: by its name there; sizes are filled in from it by the engine.
const kOnShelf: Readonly<Record<string, { readonly need: string; readonly sides: readonly string[] }>> = {
  guide: { need: "guide", sides: [" a in", " r in"] }, extension: { need: "guide-extension", sides: [" a in", " r in"] }, wire: { need: "wire", sides: [" a in", " r in"] }, mc: { need: "microcatheter", sides: [" a in", " r in"] },
  balloon: { need: "balloon", sides: [" a"] }, stent: { need: "stent", sides: [""] }, cover: { need: "covered-stent", sides: [""] }, coil: { need: "coil", sides: [""] },
};
const shelf = signal<ReadonlyMap<string, readonly (readonly [string, string])[]>>(new Map()); // verb: id and name of each
async function lookUp(verb: string): Promise<void> {
  const kind = kOnShelf[verb];
  if (kind === undefined || shelf.value.has(verb)) return;
  try {
    const found = await searchShelf(`${kind.need} stock`, new AbortController().signal);
    shelf.value = new Map(shelf.value).set(verb, found.devices.map((each) => [each.id, each.name] as const));
  } catch {
    // The shelf is not known: the tables stand without it.
  }
}
function OnShelf({ verb, set }: { readonly verb: string; readonly set: (line: string) => void }) {
  useEffect(() => void lookUp(verb), [verb]);
  const there = shelf.value.get(verb) ?? [];
  if (there.length === 0) return null;
  return (
    <>
      {(kOnShelf[verb]?.sides ?? []).map((side) => (
        <div class="pad-row" key={side}><span class="dim small">on the shelf{side}</span>
          {there.map(([id, name]) => <button type="button" key={id} title={`${verb}${side} kit:${id}`} onClick={() => set(`${verb}${side} kit:${id}`)}>{name}</button>)}</div>
      ))}
    </>
  );
}

interface Held {
  readonly line: string;
  readonly x: number;
  readonly y: number;
}
function OneTable({ table, set }: { readonly table: Table; readonly set: (line: string) => void }) {
  const [reads, setReads] = useState("");
  const held = useRef<Held | null>(null);
  const swallow = useRef(false); // the click that ends a slide is no touch of its own
  const said = (event: PointerEvent): string => (held.current === null ? "" : slid(held.current.line, table.slides, event.clientX - held.current.x, event.clientY - held.current.y));
  const down = (event: PointerEvent) => {
    const line = (event.target as HTMLElement).closest("button")?.dataset["line"];
    swallow.current = false;
    if (table.slides === "" || line === undefined) return;
    held.current = { line, x: event.clientX, y: event.clientY };
    (event.currentTarget as HTMLElement).setPointerCapture(event.pointerId);
    setReads(line);
  };
  const up = (event: PointerEvent) => {
    const line = said(event);
    if (line !== "") set(line);
    swallow.current = line !== "";
    held.current = null;
    setReads("");
  };
  const across = Math.max(...table.rows.map((each) => each.cells.length));
  return (
    <div class={`table${table.slides === "" ? "" : " slides"}${table.even && across <= 4 && table.rows.length > 8 ? " narrow" : ""}`} role="group" aria-label={table.says === "" ? "Lines" : table.says} onTouchMove={(event) => table.slides !== "" && event.preventDefault()} onPointerDown={down} onPointerMove={(event) => held.current !== null && setReads(said(event))} onPointerUp={up} onPointerCancel={() => { held.current = null; setReads(""); }}>
      {(table.says !== "" || table.slides !== "") && <p class="dim small">{table.says}{table.slides !== "" && `; hold and slide up for atm${table.slides === "pressure and time" ? ", sideways for seconds" : ""}`}</p>}
      {reads !== "" && <output class="slide-reads figures">{reads}</output>}
      <div class="table-rows">{table.rows.map((row) => (
        <div class={table.even ? "table-row" : "pad-row"} style={table.even ? { gridTemplateColumns: `112px repeat(${across}, minmax(44px, 72px))` } : {}} key={row.says}>
          {(table.even || row.says !== "") && <span class="dim small">{row.says}</span>}
          {row.cells.map((cell) => <button type="button" key={cell.line} data-line={cell.line} aria-label={cell.line} onClick={() => { if (!swallow.current) set(cell.line); swallow.current = false; }}>{cell.shows}</button>)}
        </div>
      ))}</div>
    </div>
  );
}

// Where it is touched says two numbers; a slide without lifting makes them exact. The same by the arrow keys.
function PlaneBoard({ plane, verb, set }: { readonly plane: Plane; readonly verb: string; readonly set: (line: string) => void }) {
  const [at, setAt] = useState<readonly [number, number] | null>(null);
  const from = useRef<{ readonly x: number; readonly y: number; readonly px: number; readonly py: number } | null>(null);
  const down = (event: PointerEvent) => {
    const box = (event.currentTarget as HTMLElement).getBoundingClientRect();
    (event.currentTarget as HTMLElement).setPointerCapture(event.pointerId);
    const x = landed(plane.x, (event.clientX - box.left) / box.width);
    const y = landed(plane.y, (box.bottom - event.clientY) / box.height);
    from.current = { x, y, px: event.clientX, py: event.clientY };
    setAt(plane.holds(x, y));
  };
  const move = (event: PointerEvent) => {
    const began = from.current;
    if (began !== null) setAt(plane.holds(moved(plane.x, began.x, event.clientX - began.px), moved(plane.y, began.y, began.py - event.clientY)));
  };
  const up = () => {
    if (from.current !== null && at !== null) set(plane.line(...at));
    from.current = null;
  };
  const key = (event: KeyboardEvent) => {
    const by = { ArrowLeft: [-1, 0], ArrowRight: [1, 0], ArrowUp: [0, 1], ArrowDown: [0, -1] }[event.key];
    if (by === undefined) return;
    event.preventDefault();
    const [x, y] = at ?? [landed(plane.x, 0.4), landed(plane.y, 0.5)];
    const next = plane.holds(Math.min(plane.x.to, Math.max(plane.x.from, x + (by[0] ?? 0) * plane.x.step)), Math.min(plane.y.to, Math.max(plane.y.from, y + (by[1] ?? 0) * plane.y.step)));
    setAt(next);
    set(plane.line(...next));
  };
  const share = (value: number, axis: Plane["x"]): number => ((value - axis.from) / (axis.to - axis.from)) * 100;
  const marks = (axis: Plane["x"], every: number): readonly number[] => Array.from({ length: Math.floor((axis.to - axis.from) / every) + 1 }, (_, i) => Math.ceil(axis.from / every) * every + i * every).filter((each) => each <= axis.to);
  const every = plane.x.step < 1 ? 1 : 20;
  return (
    <div class="plane-pane" data-verb={verb}>
      <p class="dim small">{plane.says}: touch, then slide without lifting for the last figure</p>
      <output class="slide-reads figures">{at === null ? "" : plane.line(...at)}</output>
      <div class="plane" role="group" tabIndex={0} aria-label={`${plane.says}; arrow keys`} onTouchMove={(event) => event.preventDefault()} onPointerDown={down} onPointerMove={move} onPointerUp={up} onPointerCancel={() => { from.current = null; }} onKeyDown={key}>
        {marks(plane.x, every).map((each) => <span class="plane-x figures" key={each} style={{ left: `${share(each, plane.x)}%` }}>{each}</span>)}
        {marks(plane.y, every).map((each) => <span class="plane-y figures" key={each} style={{ bottom: `${share(each, plane.y)}%` }}>{each}</span>)}
        {at !== null && <span class="plane-at" style={{ left: `${share(at[0], plane.x)}%`, bottom: `${share(at[1], plane.y)}%` }} />}
      </div>
    </div>
  );
}

// The segments of the trees as they are numbered; the one that is worked in stands already.
const kSegments = ["1", "2", "3", "4", "5", "6", "7", "8", "9", "9a", "10", "11", "12", "12a", "12b", "13", "14", "15", "16"];
function Segments() {
  const now = segmentNow();
  return (
    <div class="pad-row"><span class="dim small">in segment</span>
      {["", ...kSegments].map((each) => <button type="button" class="segment-key" key={each} aria-pressed={now === each} onClick={() => { segment.value = each; }}>{each === "" ? "not said" : each}</button>)}</div>
  );
}

// Each whole value to be touched once: key, number, Enter.
export function Exact({ board: numbers, set }: { readonly board: NumberBoard; readonly set: (line: string) => void }) {
  return (
    <div class="exact" role="group" aria-label={`Exact: ${numbers.says}`}>
      <span class="dim small">{numbers.says}</span>
      {numbers.rows.map((row) => (
        <div class="exact-row" key={row[0]?.line}>{row.map((cell) => <button type="button" key={cell.line} aria-label={cell.line} onClick={() => set(cell.line)}>{cell.shows}</button>)}</div>
      ))}
    </div>
  );
}

// The lines that stand on a verb's tables: they are not offered twice.
export const tableLines = (row: GrammarVerb): ReadonlySet<string> => new Set(tablesOf(row, knownNow()).flatMap((table) => table.rows.flatMap((each) => each.cells.map((cell) => cell.line))));

export function TouchTables({ row, set }: { readonly row: GrammarVerb; readonly set: (line: string) => void }) {
  const plane = planeOf(row.verb, segmentNow());
  return (
    <>
      {row.verb === "eem" && <Segments />}
      {plane !== null && <PlaneBoard plane={plane} verb={row.verb} set={set} />}
      {tablesOf(row, knownNow()).map((table, at) => <OneTable key={`${row.verb}${at}`} table={table} set={set} />)}
      <OnShelf verb={row.verb} set={set} />
    </>
  );
}
