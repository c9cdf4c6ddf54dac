// SPDX-License-Identifier: Apache-2.0
// The board on the wall, at #/wall/CASE: six things, legible at two metres, read-only. The last entry stays for 8 s so that
// the operator can read it back. A silent engine strikes the figures through and says since when, in the largest type.
import { useEffect, useState } from "preact/hooks";
import { board, now, startBoard } from "../run/live";
import { rehearsal, rehearsalIn } from "../run/rehearsal";
import { newestFirst } from "../run/timeline";
import { caseId, link, open, remembered } from "../state/store";
import { chosenView } from "../views/chosen";
import { clock } from "../words/number";
import { tiles, vesselOf, type Tile } from "./words";

const kReadBackMs = 8000;

function TileView({ tile }: { readonly tile: Tile }) {
  const grave = tile.lines.some((line) => line.grave);
  return (
    <section class={`wall-tile ${tile.id}${grave ? " grave" : ""}`} aria-label={tile.id}>
      {tile.label !== "" && <p class="wall-label">{tile.label}</p>}
      {tile.figure !== "" && <p class="wall-figure figures">{tile.figure} <span>{tile.unit}</span></p>}
      {tile.lines.map((line) => <p key={line.text} class={`wall-line figures${line.grave ? " over" : ""}`}>{line.grave ? "▲ " : ""}{line.text}</p>)}
    </section>
  );
}

function LastEntry() {
  // Of the run only: a note or a fact may say what an awake patient should not read.
  const lines = newestFirst((open.value?.journal ?? []).filter((line) => line.kind === "run"), rehearsal.value === null ? Infinity : now.value);
  const last = lines.reduce<(typeof lines)[number] | null>((newest, line) => (newest === null || line.seq > newest.seq ? line : newest), null);
  const [shown, setShown] = useState("");
  useEffect(() => {
    if (last === null) return;
    setShown(last.id);
    const timer = setTimeout(() => setShown(""), kReadBackMs);
    return () => clearTimeout(timer);
  }, [last?.id]);
  return <div class="wall-strip" role="status">{last !== null && shown === last.id ? <span>{clock(new Date(last.at))} {last.text}</span> : null}</div>;
}

export function Wall() {
  useEffect(() => { rehearsal.value = rehearsalIn(location.hash.split("?")[1] ?? ""); }, []);
  useEffect(() => startBoard(), [caseId.value]);
  const state = link.value;
  const shown = board.value;
  const room = open.value?.case.room ?? remembered.value?.room ?? "";
  return (
    <main class="wall">
      <h1 class="unseen">Wall board</h1>
      <header class="wall-head">
        <span class="wall-label">{[room, vesselOf(open.value), chosenView.value?.words ?? ""].filter((each) => each !== "").join(" · ")}{open.value?.case.invented ? " · invented" : ""}</span>
        <span class="figures">{clock(new Date(now.value))}</span>
      </header>
      {state.kind === "frozen" && <p class="wall-frozen" role="alert">Frozen since {clock(new Date(state.since))}</p>}
      {shown === null ? <p class="wall-label">The board comes with the engine.</p> : <div class="wall-grid">{tiles(shown, now.value).map((tile) => <TileView key={tile.id} tile={tile} />)}</div>}
      <LastEntry />
    </main>
  );
}
