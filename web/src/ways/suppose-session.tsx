// SPDX-License-Identifier: Apache-2.0
// What if the session were longer, or a way were closed? Supposed only; facts are supposed in the line above the columns.
import { session, setClosed } from "./ask";
import type { LadderAnswer } from "../wire/ladder";

export function SupposeSession({ answer }: { readonly answer: LadderAnswer }) {
  const limit = session.value.minutes ?? answer.budgets.find((each) => each.what === "minutes")?.limit ?? 180;
  const contrast = session.value.contrast_ml ?? answer.budgets.find((each) => each.what === "contrast_ml")?.limit ?? null;
  const closed = session.value.closed;
  const ways = [...answer.strategies.map((each) => each.id), ...closed.filter((id) => !answer.strategies.some((each) => each.id === id))].sort();
  const touched = session.value.minutes !== undefined || session.value.contrast_ml !== undefined || closed.length > 0;
  return (
    <section class="st suppose-session" aria-label="What if the session were otherwise?">
      <h3>What if</h3>
      <label><span>the session lasts <b class="figures">{Math.round(limit)} min</b></span>
        <input type="range" aria-label="Suppose minutes of the session" min={30} max={360} step={15} value={limit} onInput={(event) => { session.value = { ...session.value, minutes: Number(event.currentTarget.value) }; }} /></label>
      <label><span>contrast stops at <b class="figures">{contrast === null ? "no limit" : `${Math.round(contrast)} mL`}</b></span>
        <input type="range" aria-label="Suppose a limit of contrast" min={60} max={600} step={10} value={contrast ?? 600} onInput={(event) => { session.value = { ...session.value, contrast_ml: Number(event.currentTarget.value) }; }} /></label>
      <div class="closed-ways">{ways.map((id) => (
        <button type="button" key={id} aria-pressed={closed.includes(id)} onClick={() => setClosed(id, !closed.includes(id))}>{id} closed</button>))}</div>
      {touched && <p><span class="supposed-word">Supposed, nothing is written.</span> <button type="button" class="quiet" onClick={() => { session.value = { closed: [] }; }}>As it stands</button></p>}
    </section>
  );
}
