// SPDX-License-Identifier: Apache-2.0
// A fit disc: the lumen and what lies in it, to scale, with the words beside it.
import { figure } from "../words/number";
import { discPicture } from "./discs";
import type { FitWord, Paired, Place } from "./shapes";
import { fitSign, fitWords, roundingWords, worstWords } from "./words";

export interface DiscGiven {
  readonly title: string;
  readonly lumen: number;
  readonly verdict: FitWord;
  readonly margin: number | null;
  readonly smallest: number | null;
  readonly proved?: number | null; // no smaller lumen holds them
  readonly tooClose: boolean;
  readonly places: readonly Place[];
  readonly worst: readonly Paired[];
  readonly order: readonly string[];
  readonly flow: number | null;
  readonly rounding: { readonly sensitive: boolean; readonly passes: number; readonly fits: number } | null;
  readonly notes: readonly string[];
}

function Picture({ given }: { readonly given: DiscGiven }) {
  const drawn = discPicture(given.lumen, given.smallest ?? given.lumen, given.places, given.worst);
  const middle = drawn.size / 2;
  const said = `${fitWords(given.verdict, given.margin, given.tooClose)}; lumen ${figure(given.lumen, 2)} mm`;
  return (
    <svg class="disc" viewBox={`0 0 ${drawn.size} ${drawn.size + 14}`} width={drawn.size} height={drawn.size + 14} role="img" aria-label={said}>
      <circle class="disc-lumen" cx={middle} cy={middle} r={drawn.lumen} />
      {drawn.held > 0 && <circle class="disc-held" cx={middle} cy={middle} r={drawn.held} />}
      {drawn.circles.map((each, index) => (
        <g key={index} class={`disc-shaft way-${each.device % 3}${each.mark === "" ? " wire" : ""}`}>
          <circle cx={each.x} cy={each.y} r={Math.max(1, each.r - 0.75)} />
          {each.mark !== "" && <text x={each.x} y={each.y}>{each.mark}</text>}
        </g>
      ))}
      <path class="disc-bar" d={`M${middle - drawn.bar / 2} ${drawn.size + 4}h${drawn.bar}`} />
      <text class="disc-scale" x={middle + drawn.bar / 2 + 4} y={drawn.size + 8}>1 mm</text>
    </svg>
  );
}

export function FitDisc({ given }: { readonly given: DiscGiven }) {
  const rounding = given.rounding ? roundingWords(given.rounding.sensitive, given.rounding.passes, given.rounding.fits) : "";
  return (
    <article class={`fit-disc ${given.verdict}`}>
      {given.places.length > 0 && <Picture given={given} />}
      <div class="fit-words">
        <h4>{given.title}</h4>
        <p class="fit-verdict"><span aria-hidden="true">{fitSign[given.verdict]}</span> {fitWords(given.verdict, given.margin, given.tooClose, given.smallest, given.proved)}</p>
        {given.order.length > 1 && <p class="small">in this order: {given.order.map((name, index) => <span key={name + String(index)} class="fit-order"><b>{index + 1}</b> {name}</span>)}</p>}
        {given.worst.length > 1 && <p class="small dim">worst pairing: {worstWords(given.worst)}</p>}
        {rounding !== "" && <p class="small warn">{rounding}</p>}
        {given.flow !== null && <p class="small dim">flow left {Math.round(given.flow * 100)} %</p>}
        {given.notes.map((note) => <p key={note} class="small warn">{note}</p>)}
      </div>
    </article>
  );
}
