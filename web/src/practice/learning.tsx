// SPDX-License-Identifier: Apache-2.0
// What one's own attempts changed in the published figures, and by how much: proposed, and in force only when the lab
// accepts it.
import { signal } from "@preact/signals";
import { useEffect } from "preact/hooks";
import { say, sentence } from "../state/store";
import { get, postJson } from "../wire/engine";
import { entriesAnswer } from "../wire/shapes";
import { learningPicture } from "./learning-draw";
import { learningAnswer, type LearnedStrategy, type Learning } from "./learning-shape";
import { Drawn, kSheet, Table } from "./sheet";

const learning = signal<Learning | null>(null);
const accepting = signal({ by: "", owner: "", busy: false });

const percent = (share: number): string => `${Math.round(100 * share)} %`;
const read = (stop: AbortSignal) => get("/api/practice/learning", learningAnswer, stop);

function Strategy({ found, answer }: { readonly found: LearnedStrategy; readonly answer: Learning }) {
  const rate = found.complications_per_hour;
  const groups = found.groups.filter((each) => each.attempts > 0);
  const words = groups.map((each) => `J-CTO ${each.j_cto}: across by ${answer.by_minutes} min ${percent(each.by_30.published)} published, ${percent(each.by_30.own)} with ${each.attempts} of one's own (${percent(each.by_30.low)} to ${percent(each.by_30.high)})`);
  return (
    <section class="learned" aria-label={`Learnt of ${found.id}`}>
      <h3>{found.id} <span class="dim small">{found.words}; {found.attempts} attempts, {found.crossed} crossed, {found.stopped} stopped ({found.planned} as planned or by a limit), {found.complications} complications</span></h3>
      <Drawn marks={learningPicture(kSheet, found)} said={words.length === 0 ? `${found.id}: no attempts of one's own` : words.join("; ")} />
      <p class="dim small">Chance to be across by minutes of work. Thick: published, not yours. Dashes: with your own, for your mix of difficulty. Steps and whiskers: what was seen, 95 %, cut where fewer than five were at risk.</p>
      <Table name={`${found.id}: across by ${answer.by_minutes} min`} head={["J-CTO", "Attempts", "Published", "With one's own, 90 %", `Stops ${answer.stop_ratios.join(" or ")} times`, "One's own share"]}
        rows={found.groups.map((each) => [each.j_cto, String(each.attempts), percent(each.by_30.published), `${percent(each.by_30.own)} (${percent(each.by_30.low)} to ${percent(each.by_30.high)})`, each.by_30_if.map(percent).join(" or "), percent(each.by_30.share_own)])} />
      <p class="small figures">Complications per hour of work: {rate.published.toFixed(3)} published{rate.share_own > 0 ? `, ${rate.own.toFixed(3)} with one's own (${rate.low.toFixed(3)} to ${rate.high.toFixed(3)})` : "; past cases do not say in which attempt, so nothing was learnt of it"}</p>
    </section>
  );
}

async function accept(answer: Learning): Promise<void> {
  accepting.value = { ...accepting.value, busy: true };
  try {
    await postJson("/api/practice/learning", entriesAnswer, { attempts: answer.attempts, by: accepting.value.by.trim(), owner: accepting.value.owner.trim() });
    learning.value = await read(new AbortController().signal);
    say("done", "The lab's priors are in force as proposed; every version before stays in the lab's journal.");
  } catch (error) {
    say("trouble", sentence(error));
  }
  accepting.value = { ...accepting.value, busy: false };
}

function Accept({ answer }: { readonly answer: Learning }) {
  const { by, owner, busy } = accepting.value;
  const same = answer.in_force.version === answer.proposal.version && answer.in_force.own_attempts === answer.attempts;
  if (answer.attempts === 0) return <p>No attempts of one's own yet: the published figures stand.</p>;
  if (same) return <p role="status">In force: {answer.in_force.version}, {answer.in_force.own_attempts} attempts of one's own.</p>;
  return (
    <form class="audit-filters" aria-label="Put in force" onSubmit={(event) => { event.preventDefault(); void accept(answer); }}>
      <p>In force: {answer.in_force.version}. Proposed: {answer.proposal.version}, {answer.attempts} attempts. Nothing changes until the lab accepts it.</p>
      <label>Initials<input value={by} maxLength={64} onInput={(event) => { accepting.value = { ...accepting.value, by: event.currentTarget.value }; }} /></label>
      <label>Role that answers for it<input value={owner} maxLength={64} onInput={(event) => { accepting.value = { ...accepting.value, owner: event.currentTarget.value }; }} /></label>
      <button type="submit" disabled={busy || by.trim() === "" || owner.trim() === ""}>Put in force for this lab</button>
    </form>
  );
}

// Which step against which failure, and how often the way went on from there.
function Steps({ answer }: { readonly answer: Learning }) {
  if (answer.steps.length === 0) return <p class="small dim">No step against a failure was logged yet: <b>log: tried</b> under <i>Why it will not go</i> in Run.</p>;
  return (
    <section class="learned" aria-label="What was tried when it would not go">
      <h3>What was tried when it would not go</h3>
      <Table name="What was tried when it would not go" head={["Would not go", "Tried", "Times", "Went on from there, 95 %"]}
        rows={answer.steps.map((each) => [each.reason, each.step, String(each.tried), `${each.worked} of ${each.tried}: ${percent(each.worked / each.tried)} (${percent(each.low)} to ${percent(each.high)})`])} />
      <p class="dim small">It went on: the next milestone or the crossing came in the same attempt, before another step. Seen, not drawn by lot: a step that is kept for the hardest looks worse than it is.{answer.steps_open > 0 ? ` Left out: ${answer.steps_open} of attempts that still run, or outside one.` : ""}</p>
    </section>
  );
}

export function Learnt() {
  useEffect(() => {
    const stop = new AbortController();
    read(stop.signal).then((found) => { learning.value = found; }, (error: unknown) => {
      if (!stop.signal.aborted) say("trouble", sentence(error));
    });
    return () => stop.abort();
  }, []);
  const found = learning.value;
  return (
    <section class="pane learning" aria-label="What your own attempts changed">
      <h2>What your own attempts changed {found !== null && found.invented > 0 && <span class="invented">{found.invented === found.attempts ? "invented" : `${found.invented} invented`}</span>}</h2>
      {found === null ? <p class="dim">Counting…</p> : (
        <>
          <Accept answer={found} />
          <div class="learned-ways">{found.strategies.map((each) => <Strategy key={each.id} found={each} answer={found} />)}</div>
          <Steps answer={found} />
          <ul class="small dim">{found.says.map((line) => <li key={line}>{line}</li>)}</ul>
        </>)}
    </section>
  );
}
