// SPDX-License-Identifier: Apache-2.0
// Trouble: first which, then its short list, with a clock since it was called. Each tick is an entry.
import { signal } from "@preact/signals";
import { useEffect, useRef, useState } from "preact/hooks";
import { searchShelf } from "../kit/ask";
import { minutesBetween, type Board, type Drill } from "./board";
import { commit } from "./log";
import { drill } from "./trouble";

const clockOf = (since: string, now: number): string => {
  const seconds = Math.max(0, Math.floor((now - Date.parse(since)) / 1000));
  return `${Math.floor(seconds / 60)}:${String(seconds % 60).padStart(2, "0")}`;
};
// A timer of its own: "in 0:45", "1:10 late".
export function dueWords(due: string, now: number): string {
  const late = Date.parse(due) < now;
  return late ? `▲ ${clockOf(due, now)} late` : `in ${clockOf(new Date(now).toISOString(), Date.parse(due))}`;
}
const close = (): void => { drill.value = null; };

// The kinds of trouble as the log knows them, gravest first. Which is said, the engine answers with its list.
const kKinds: readonly (readonly [string, string])[] = [
  ["perforation", "Perforation"], ["tamponade", "Tamponade"], ["donor", "Donor vessel injured"], ["stuck", "Something stuck"], ["hypotension", "Low pressure"],
  ["anaphylaxis", "Anaphylaxis"], ["arrest", "Arrest"], ["stroke", "Stroke"], ["bleed", "Access bleeds"], ["dissection", "Aortic dissection"],
];
// Where a perforation is decides its list.
const kSites: readonly (readonly [string, string])[] = [["main", "main vessel"], ["main wire", "main vessel, wire only"], ["distal", "distal wire"], ["septal", "septal"], ["epicardial", "epicardial"], ["graft", "graft"], ["cavity main", "into a chamber"]];

function Which({ open }: { readonly open: readonly Drill[] }) {
  const first = useRef<HTMLButtonElement>(null);
  const [hole, setHole] = useState(false);
  useEffect(() => first.current?.focus(), [hole]);
  const say = (line: string, kind: string) => {
    void commit(line);
    drill.value = kind;
  };
  const choose = (kind: string) => (kind === "perforation" ? setHole(true) : say(`trouble ${kind}`, kind));
  if (hole) {
    return (
      <>
        <h2>Perforation: where?</h2>
        <div class="which">{kSites.map(([site, words], at) => <button type="button" key={site} ref={at === 0 ? first : null} onClick={() => say(`perforation ${site}`, "perforation")}>{words}</button>)}</div>
      </>
    );
  }
  return (
    <>
      <h2>Trouble: which?</h2>
      <p class="dim">The time, the technique and what is in the body are logged already.</p>
      <div class="which">{kKinds.map(([kind, words], at) => <button type="button" key={kind} ref={at === 0 ? first : null} onClick={() => choose(kind)}>{words}{open.some((each) => each.id === kind) ? " (runs)" : ""}</button>)}</div>
    </>
  );
}

// What the shelf has of a drill's kit: looked up when the drill is opened. Nobody's tick stands for it.
const kNeeds: Readonly<Record<string, string>> = {
  "covered-stents": "covered_stent", "drain-set": "pericardial_set", coils: "coil", snare: "snare", microcatheter: "microcatheter", extension: "guide-extension", "second-guide": "guide", "occlusion-balloon": "balloon",
};
const shelf = signal<ReadonlyMap<string, string>>(new Map()); // item -> what is there
async function look(items: readonly string[]): Promise<void> {
  for (const item of items) {
    if (kNeeds[item] === undefined) continue;
    try {
      const found = await searchShelf(`${kNeeds[item]} stock`, new AbortController().signal);
      const count = found.devices.reduce((sum, each) => sum + each.count, 0);
      const names = found.devices.slice(0, 3).map((each) => each.name).join(", ");
      shelf.value = new Map(shelf.value).set(item, `${found.devices.length === 0 ? "✕ none on the shelf" : `✓ on the shelf: ${count} (${names}${found.devices.length > 3 ? ", …" : ""})`}${found.invented ? ", invented shelf" : ""}`);
    } catch {
      return; // the shelf is not known
    }
  }
}
const kInRoom = { done: "ticked as in the room", not: "ticked as not in the room", na: "ticked as not needed", open: "not ticked" } as const;

function Kit({ each }: { readonly each: Drill }) {
  const items = each.kit.map((item) => item.id).join(" ");
  useEffect(() => void look(items.split(" ")), [items]);
  if (each.kit.length === 0) return null;
  return (
    <section aria-label="Kit"><h3>Kit</h3>
      <ul>{each.kit.map((item) => <li key={item.id}>{item.id.replaceAll("-", " ")} <span class={(shelf.value.get(item.id) ?? "✕").startsWith("✓") ? "dim" : "warn"}>{shelf.value.get(item.id) ?? "shelf not known"}</span>{item.inRoom !== null && <span class={item.inRoom === "done" ? "dim" : "warn"}> · {kInRoom[item.inRoom]}</span>}</li>)}</ul>
    </section>
  );
}

function Steps({ each, now }: { readonly each: Drill; readonly now: number }) {
  return (
    <>
      <h2>{each.title}{each.since !== null && <span class="drill-clock figures" role="timer"> {clockOf(each.since, now)}</span>}</h2>
      <p class="warn">{each.says}</p>
      <ol class="drill-steps">
        {each.steps.map((step) => (
          <li key={step.id} class={step.at === null ? "" : "done"}>
            <button type="button" aria-pressed={step.at !== null} onClick={() => step.at === null && void commit(`${step.tick} done`)}>
              <span aria-hidden="true">{step.at === null ? "○" : "✓"}</span> {step.says}{step.at !== null && <span class="dim small figures"> {minutesBetween(step.at, now)} min ago</span>}
              {step.at === null && step.due !== null && <span class={`figures ${Date.parse(step.due) < now ? "over" : "dim"}`}> {dueWords(step.due, now)}</span>}
            </button>
          </li>
        ))}
      </ol>
      <Kit each={each} />
      <div class="drill-keys">
        <button type="button" class="main" onClick={() => { void commit(each.id === "perforation" ? "perforation sealed" : `trouble ${each.id} over`); close(); }}>{each.id === "perforation" ? "It is sealed" : "It is over"}</button>
        <button type="button" onClick={() => { drill.value = ""; }}>Another trouble</button>
      </div>
    </>
  );
}

export function Drills({ board, now }: { readonly board: Board | null; readonly now: number }) {
  const chosen = drill.value;
  if (chosen === null) return null;
  const open = board?.drills ?? [];
  const each = chosen === "" ? undefined : open.find((one) => one.id === chosen);
  return (
    <section class="pane drill" aria-label="Trouble">
      {each !== undefined ? <Steps each={each} now={now} /> : chosen === "" ? <Which open={open} /> : <p class="dim">The list for {chosen} comes with the engine; the entry is kept.</p>}
      <button type="button" class="quiet drill-close" onClick={close}>Put it aside</button>
    </section>
  );
}
