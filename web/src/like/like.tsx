// SPDX-License-Identifier: Apache-2.0
// Cases like this one: on a line of distance first, then what was done and what happened, then each case with where it differs.
import { signal } from "@preact/signals";
import { useEffect } from "preact/hooks";
import { open, say, sentence, sourceOf } from "../state/store";
import { readLike } from "../wire/engine";
import type { LikeAnswer, LikeShare, PastCase } from "./like-shape";
import { kLikeWidth, likePicture, outcomeOf, type LikeDot } from "./picture";

const found = signal<{ readonly key: string; readonly answer: LikeAnswer } | null>(null);

const whole = (share: number): string => `${Math.round(100 * share)}`;
const shareWords = (share: LikeShare | null): string =>
  share === null ? "nobody wrote it down" : `${share.events} of ${share.cases}; anything from ${whole(share.low)} to ${whole(share.high)} % fits`;

function Dot({ dot }: { readonly dot: LikeDot }) {
  const { x, y } = dot;
  return (
    <g class={`like-dot ${dot.shape}`}><title>{dot.said}</title>
      {dot.shape === "success" ? <circle cx={x} cy={y} r={7} /> : dot.shape === "failed" ? <path d={`M${x - 6} ${y - 6}L${x + 6} ${y + 6}M${x + 6} ${y - 6}L${x - 6} ${y + 6}`} /> : <text x={x} y={y + 6}>?</text>}
      {dot.trouble && <rect class="trouble" x={x - 10} y={y - 10} width={20} height={20} />}
    </g>
  );
}

function Picture({ answer }: { readonly answer: LikeAnswer }) {
  const drawn = likePicture(answer);
  const said = `${answer.cases.length} past cases by their distance, from ${(answer.cases[0]?.distance ?? 0).toFixed(2)} to ${(answer.cases.at(-1)?.distance ?? 0).toFixed(2)}`;
  return (
    <figure class="like-figure">
      <svg class="like-picture" viewBox={`0 0 ${kLikeWidth} ${drawn.height}`} role="img" aria-label={said}>
        <path class="like-near" d={`M${drawn.near} 0V${drawn.height - 26}`} />
        <path class="like-axis" d={`M16 ${drawn.height - 26}H${kLikeWidth - 16}`} />
        {drawn.ticks.map((tick) => <text key={tick.text} x={tick.x} y={drawn.height - 8}>{tick.text}</text>)}
        {drawn.dots.map((dot) => <Dot key={dot.said} dot={dot} />)}
      </svg>
      <figcaption class="small dim">Distance from this case; left of the dashed line is called near. Disc: success. Cross: failed. Question mark: outcome not known. Square round it: major complication.</figcaption>
    </figure>
  );
}

const differs = (each: PastCase): string => {
  const most = each.parts.filter((part) => part.share > 0).slice(0, 3);
  return most.length === 0 ? "alike in all that is known of both" : most.map((part) => `${part.label.toLowerCase()} ${part.there}${part.unit === "" ? "" : ` ${part.unit}`} (here ${part.here})`).join("; ");
};
const tried = (each: PastCase): string => (each.tries.length === 0 ? "not known" : each.tries.map((made) => `${made.strategy} ${Math.round(made.minutes)} min${made.crossed ? ", crossed" : ""}`).join("; "));
const kOutcome = { success: "success", failed: "failed", unknown: "not known" } as const;

function Cases({ answer }: { readonly answer: LikeAnswer }) {
  return (
    <div class="table-scroll" tabIndex={0} role="group" aria-label="The cases, nearest first">
      <table class="items"><caption class="unseen">The cases, nearest first</caption>
        <thead><tr><th scope="col">Case</th><th scope="col">Distance</th><th scope="col">What was tried</th><th scope="col">Outcome</th><th scope="col">Where it differs most</th></tr></thead>
        <tbody>{answer.cases.map((each) => (
          <tr key={each.case}><th scope="row">{each.case}{each.invented && <span class="invented">invented</span>}</th><td class="figures">{each.distance.toFixed(2)}</td>
            <td class="figures">{tried(each)}</td><td>{kOutcome[outcomeOf(each)]}{each.complication === true ? ", major complication" : ""}</td><td>{differs(each)}</td></tr>))}</tbody>
      </table>
    </div>
  );
}

function First({ answer }: { readonly answer: LikeAnswer }) {
  if (answer.by_first.length === 0) return null;
  return (
    <div class="table-scroll" tabIndex={0} role="group" aria-label="What was tried first">
      <table class="items"><caption>What was tried first</caption>
        <thead><tr><th scope="col">First</th><th scope="col">Cases</th><th scope="col">It crossed</th><th scope="col">Success in the end</th><th scope="col">Its minutes, half within</th></tr></thead>
        <tbody>{answer.by_first.map((each) => (
          <tr key={each.strategy}><th scope="row">{each.strategy}</th><td class="figures">{each.cases}</td><td class="figures">{each.crossed_first}</td><td class="figures">{each.success} of {each.with_outcome}</td>
            <td class="figures">{each.minutes === null ? "–" : `${Math.round(each.minutes.middle)} (${Math.round(each.minutes.low)} to ${Math.round(each.minutes.high)})`}</td></tr>))}</tbody>
      </table>
    </div>
  );
}

export function Like() {
  const id = open.value?.case.id ?? "";
  const key = `${id} ${open.value?.seq ?? 0}`;
  useEffect(() => {
    if (id === "") return undefined;
    const stop = new AbortController();
    readLike(id, stop.signal).then((answer) => { found.value = { key, answer }; }, (error: unknown) => {
      if (!stop.signal.aborted) say("trouble", sentence(error));
    });
    return () => stop.abort();
  }, [key]);
  const shown = found.value;
  if (shown === null || !shown.key.startsWith(`${id} `)) return <p class="empty" role="status">Looking through the past cases…</p>;
  const { answer } = shown;
  return (
    <div class="like">
      {answer.says.map((line) => <p key={line}>{line}</p>)}
      {answer.cases.length > 0 && (
        <>
          <Picture answer={answer} />
          <p><b>Technical success</b> {shareWords(answer.success)}. <b>Major complication</b> {shareWords(answer.complication)}.{answer.invented > 0 && <span class="invented">{answer.invented} invented</span>}</p>
          <First answer={answer} />
          <Cases answer={answer} />
          <details><summary>How alike is worked out</summary>
            <p class="small">The distance is the weighted mean of the differences over what is known of both cases, 0 alike to 1 wholly unlike ({sourceOf.value.get(answer.source)?.citation ?? answer.source}). The weights are practice, no source: {answer.weights.filter((each) => each.weight > 0).map((each) => `${each.label.toLowerCase()} ${each.weight}${each.apart > 0 ? ` (wholly unlike from ${each.apart})` : ""}`).join(", ")}. The J-CTO total stands in for those of its items that one of the two lacks.</p>
          </details>
        </>)}
    </div>
  );
}
