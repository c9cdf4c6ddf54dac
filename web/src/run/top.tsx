// SPDX-License-Identifier: Apache-2.0
// The first row: the attempt and its phase, the patience strip's place, and what is in the body.
import type { ComponentChildren } from "preact";
import { signal } from "@preact/signals";
import { hours, minutesBetween, type Board, type Device, type Lane } from "./board";

// Filled by whoever computes it: the chances of changing now and of ten more minutes; the skin's line.
export const patience = signal<ComponentChildren>(null);
export const skinLine = signal<ComponentChildren>(null);

export function AttemptPane({ board, now }: { readonly board: Board; readonly now: number }) {
  const { attempt, phase } = board;
  const since = board.begun === null ? null : minutesBetween(board.begun, now);
  return (
    <section class="pane attempt" aria-label="Attempt">
      <h2>{attempt === null ? "No attempt runs" : `Attempt ${attempt.number}: ${attempt.name} (${attempt.strategy})`}</h2>
      <p class="big figures">{phase === null ? (attempt === null ? "—" : `${minutesBetween(attempt.since, now)} min`) : `${phase.word}, ${minutesBetween(phase.since, now)} min`}</p>
      <p class="dim figures">{since === null ? "access not logged" : `since access ${hours(since)}`}{attempt === null || phase === null ? "" : ` · attempt ${minutesBetween(attempt.since, now)} min`}</p>
    </section>
  );
}

export function PatiencePane() {
  return (
    <section class="pane patience" aria-label="Chance to finish within the limits">
      <h2>Chance to finish within the limits</h2>
      {patience.value ?? <p class="dim">Not computed for this run: change now, or ten more minutes and then change, are compared here when the plan has a ladder.</p>}
    </section>
  );
}

function DeviceLine({ device }: { readonly device: Device }) {
  return (
    <li>
      {device.tag !== "" && <b>{device.tag} </b>}{device.words}
      {device.space !== "" && <span class={device.grave ? "over" : ""}>, {device.grave ? "▲ " : ""}{device.space}</span>}
      {device.proof !== "" && <span class="dim"> ({device.proof})</span>}
      {device.note !== "" && <span class="warn"> · {device.note}</span>}
    </li>
  );
}

function LaneRow({ lane }: { readonly lane: Lane }) {
  return (
    <div class={`lane ${lane.side}`}>
      <dt>{lane.side}</dt>
      <dd>{lane.devices.length === 0 ? <span class="dim">nothing logged</span> : <ul>{lane.devices.map((device, at) => <DeviceLine key={`${device.tag}/${at}`} device={device} />)}</ul>}</dd>
    </div>
  );
}

export function BodyPane({ board }: { readonly board: Board }) {
  return <section class="pane body" aria-label="In the body"><h2>In the body</h2><dl>{board.lanes.map((lane) => <LaneRow key={lane.side} lane={lane} />)}</dl></section>;
}
