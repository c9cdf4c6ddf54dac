// SPDX-License-Identifier: Apache-2.0
// What applies now, each with why and what clears it; accepting one takes a reason. Below: what is not watched.
import { useState } from "preact/hooks";
import { age, inOrder, type Board, type Caution } from "./board";
import { commit } from "./log";

const kLevel = { stop: "■", caution: "▲", info: "●" } as const;

// Said most often; one's own words stand beside them.
const kReasons = ["seen, operator told", "risk taken knowingly", "being dealt with", "does not apply here"] as const;

function Accept({ caution, done }: { readonly caution: Caution; readonly done: () => void }) {
  const [reason, setReason] = useState("");
  return (
    <form class="accept" onSubmit={(event) => { event.preventDefault(); void commit(`accept ${caution.id} ; ${reason.trim()}`).then((kept) => kept && done()); }}>
      <label>Why it is accepted<input value={reason} maxLength={200} onInput={(event) => setReason(event.currentTarget.value)} required /></label>
      <div class="reason-keys">{kReasons.map((each) => <button type="button" key={each} aria-pressed={reason === each} onClick={() => setReason(each)}>{each}</button>)}</div>
      <button type="submit" class="main" disabled={reason.trim() === ""}>Accept</button>
      <button type="button" class="quiet" onClick={done}>Leave it</button>
    </form>
  );
}

function CautionCard({ caution, now }: { readonly caution: Caution; readonly now: number }) {
  const [asking, setAsking] = useState(false);
  return (
    <li class={`caution ${caution.level}${caution.accepted ? " accepted" : ""}`}>
      <p><span aria-hidden="true">{kLevel[caution.level]}</span> <b>{caution.says}</b> <span class="dim small figures">{caution.id}, since {age(caution.since, now)}{caution.accepted ? ", accepted" : ""}</span></p>
      {caution.why !== "" && <p class="small">{caution.why}</p>}
      <p class="small dim">Clears: {caution.clears}. {caution.source}</p>
      {!caution.accepted && caution.canAccept && !asking && <button type="button" class="quiet" onClick={() => setAsking(true)}>Accept…</button>}
      {!caution.canAccept && <p class="small dim">It stays until it clears: accepting does not silence it.</p>}
      {asking && <Accept caution={caution} done={() => setAsking(false)} />}
    </li>
  );
}

export function Cautions({ board, now }: { readonly board: Board; readonly now: number }) {
  return (
    <section class="pane cautions" aria-label="Applies now">
      <h2>Applies now</h2>
      {board.cautions.length === 0 ? <p class="dim">Nothing that is watched applies.</p> : <ul>{inOrder(board.cautions).map((caution) => <CautionCard key={caution.id + caution.since} caution={caution} now={now} />)}</ul>}
      <h2>Not watched</h2>
      {board.notWatched.length === 0 ? <p class="dim">{board.begun === null ? "Nothing is watched before the run begins." : "Every rule has its input."}</p> : <ul class="small dim">{board.notWatched.map((each) => <li key={each.lacks}>{each.lacks}{each.since === null ? ": never entered" : `: last ${age(each.since, now)}`} <span class="figures">({each.rules.join(", ")})</span></li>)}</ul>}
      {board.changed.length > 0 && (
        <>
          <h2>Changed by the lab</h2>
          <ul class="small">{board.changed.map((each) => <li key={each.rule}><b>{each.rule}</b> {each.off ? "switched off" : `now ${each.severity ?? "as before"}`}{each.why === "" ? "" : `: ${each.why}`} <span class="dim">({[each.owner, each.version, each.at.slice(0, 10)].filter((part) => part !== "").join(", ")})</span></li>)}</ul>
        </>
      )}
    </section>
  );
}
