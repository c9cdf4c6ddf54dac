// SPDX-License-Identifier: Apache-2.0
// The first row: the attempt and its phase, and what is in the body.
import { openGate } from "./gates";
import { NearestLack } from "./lacking";
import { usedText, usedUnit } from "./gauges";
import { figure } from "../words/number";
import { age, hours, minutesBetween, type Board, type Device, type Lane } from "./board";

// What the first list leaves open stays in sight.
function OpenBefore({ board }: { readonly board: Board }) {
  const gate = board.gates.find((each) => each.id === "before");
  const left = gate?.items.filter((item) => item.state === "open" || item.state === "not") ?? [];
  if (left.length === 0 || board.ended !== null) return null;
  const names = left.slice(0, 3).map((item) => item.id.replaceAll("-", " ")).join(", ");
  return <p class="small warn open-before"><button type="button" class="quiet" onClick={() => { openGate.value = "before"; requestAnimationFrame(() => document.querySelector(".gates")?.scrollIntoView({ block: "start" })); }}>▲ Before: {left.length} open ({names}{left.length > 3 ? ", …" : ""})</button></p>;
}

// On a tablet the gauges lie below the first screen: what they count stands here in a line, by the same figures.
function InALine({ board, now }: { readonly board: Board; readonly now: number }) {
  const totals = board.gauges.filter((gauge) => (gauge.id === "contrast" || gauge.id === "kerma") && gauge.used !== null)
    .map((gauge) => `${gauge.id === "kerma" ? "" : "contrast "}${usedText(gauge, now)} ${usedUnit(gauge, now)}`);
  const { clotting } = board;
  const act = clotting === null || clotting.act === null || clotting.at === null ? [] : [`ACT ${clotting.offScale ? "above " : ""}${figure(clotting.act, 0)}, ${age(clotting.at, now)}`];
  const said = [...totals, ...act];
  return said.length === 0 ? null : <p class="small figures in-a-line">{said.join(" · ")}</p>;
}

export function AttemptPane({ board, now }: { readonly board: Board; readonly now: number }) {
  const { attempt, phase } = board;
  const since = board.begun === null ? null : minutesBetween(board.begun, board.ended === null ? now : Date.parse(board.ended));
  const begun = since === null ? "access not logged" : board.ended === null ? `since access ${hours(since)}` : `${hours(since)} h from access to the end, ${age(board.ended, now)}`;
  return (
    <section class="pane attempt" aria-label="Attempt">
      <h2>{attempt === null ? "No attempt runs" : `Attempt ${attempt.number}: ${attempt.name} (${attempt.strategy})`}</h2>
      <p class="big figures">{phase === null ? (attempt === null ? "—" : `${minutesBetween(attempt.since, now)} min`) : `${phase.word}, ${minutesBetween(phase.since, now)} min`}</p>
      <p class="dim figures">{begun}{attempt === null || phase === null ? "" : ` · attempt ${minutesBetween(attempt.since, now)} min`}</p>
      <OpenBefore board={board} />
      {board.ended === null && <NearestLack />}
      {board.ended === null && <InALine board={board} now={now} />}
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
