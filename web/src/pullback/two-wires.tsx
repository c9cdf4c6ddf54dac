// SPDX-License-Identifier: Apache-2.0
// Why will the two wires not meet? Read cold: where both are, how far apart, which balloon, will it fit. A picture first,
// then four lines; odds, marks, the rule's words and the form for the fit follow below.
import { fitSign, fitWords } from "../kit/words";
import { figure, reading as readingWords } from "../words/number";
import { frameAt, markedSpace } from "./along";
import * as desk from "./desk";
import * as fit from "./fit-beside";
import { laneFill, lanePath, laneScale, lanesOf } from "./lanes";
import type { Chances, Range, Told } from "./shapes";
import { kSpaceWords, toldChance } from "./told";

const kWidth = 400;
const kHeight = 92;
const kTop = 12;

function Strip() {
  const found = desk.reading.value;
  if (found === null) return null;
  const lanes = lanesOf(found, markedSpace(desk.farMark.value));
  const scale = laneScale(found.frames, lanes.deep_mm, kWidth, kTop, kHeight);
  const thin = desk.joining.value?.thin_frames ?? null;
  const go = (event: MouseEvent & { currentTarget: Element }) => {
    const box = event.currentTarget.getBoundingClientRect();
    desk.jump(frameAt(event.clientX - box.left, box.width, found.frames));
  };
  const edge = (frame: number) => scale.x(frame - 0.5);
  return (
    <figure class="lanes">
      <svg viewBox={`0 0 ${kWidth} ${kHeight}`} preserveAspectRatio="none" onClick={go} role="img"
        aria-label={`Along the pullback, how deep the second wire lies behind the channel's border, 0 to ${figure(lanes.deep_mm, 1)} mm${thin ? `; thin from frame ${thin.first + 1} to ${thin.last + 1}` : ""}`}>
        {thin && <rect class="thin" x={edge(thin.first)} y={0} width={Math.max(2, edge(thin.last + 1) - edge(thin.first))} height={kHeight} />}
        {lanes.wire.map((each, index) => <path key={index} class="between" d={laneFill(each.line, scale)} />)}
        {lanes.media.map((line, index) => <path key={index} class="media" d={lanePath(line, scale)} />)}
        <path class="channel" d={`M0,${kTop}H${kWidth}`} />
        {lanes.wire.map((each, index) => <path key={index} class={`second ${each.space}`} d={lanePath(each.line, scale)} />)}
        <path class="now" d={`M${scale.x(desk.beside.value)},0V${kHeight}`} />
      </svg>
      <figcaption class="small">
        <span class="channel">channel's border</span><span class="media">media</span><span class="second">second wire</span>{thin && <span class="thin">thin part</span>}
        <span class="dim">height {figure(lanes.deep_mm, 1)} mm; gaps: wire not seen</span>
      </figcaption>
    </figure>
  );
}

function Side({ words, mark, told, odds }: { readonly words: string; readonly mark: string | null; readonly told: Told; readonly odds: Chances | null }) {
  return <span>{words} <b>{kSpaceWords[(mark ?? told) as Told] ?? mark}</b> <span class="dim">({mark !== null ? "your mark" : odds === null ? "no odds here" : toldChance(told, odds)})</span></span>;
}

function Where({ range }: { readonly range: Range }) {
  return <dd><Side words="Catheter" mark={desk.nearMark.value} told={range.catheter_space} odds={range.catheter} />; <Side words="second wire" mark={desk.farMark.value} told={range.wire_space} odds={range.wire} /></dd>;
}

function Apart() {
  const found = desk.reading.value;
  const here = desk.joining.value;
  const at = found?.thinnest ?? null;
  const thinnest = at === null ? null : found?.sections[at]?.tissue_mm ?? null;
  const jump = at === null || thinnest === null || at === desk.beside.value ? null
    : <> <button type="button" class="quiet" onClick={() => desk.jump(at)} aria-label={`Go to the thinnest tissue, ${desk.placeWords(at)}`}>thinnest {readingWords(thinnest.value, thinnest.sd, "mm")}, {desk.placeWords(at)}</button></>;
  if (here?.tissue_mm == null) return <dd><span class="dim">The second wire is not seen in this frame.</span>{jump}</dd>;
  return (
    <dd><b class="figures">{readingWords(here.tissue_mm.value, here.tissue_mm.sd, "mm")}</b> of tissue{at === desk.beside.value ? ", where it is thinnest" : " here"}{here.thin_part_mm && `; about so thin over ${figure(here.thin_part_mm.value, 1)} mm`}{jump}</dd>
  );
}

function Balloon() {
  const answer = desk.joining.value;
  const sizes = answer?.joining.sizes_the_rule_allows ?? [];
  if (sizes.length > 0) return <dd>{sizes.map((each, index) => <span key={each.what}>{index > 0 ? "; " : ""}{each.what} <b class="figures">{each.smallest_mm === null ? "up to " : `${figure(each.smallest_mm, 2)} to `}{figure(each.largest_mm, 2)} mm</b></span>)} <span class="dim">by the rule; not an order</span></dd>;
  return <dd class="dim">No size is worked out: {answer?.vessel == null ? "the vessel is not measured in this place (type it below)" : "a space is not told (mark it below)"}.</dd>;
}

function Fits() {
  const host = fit.answer.value?.hosts[0] ?? null;
  const beside = fit.items.value.join(", ") || "nothing else";
  if (fit.trouble.value !== "") return <dd class="warn">▲ {fit.trouble.value}</dd>;
  if (fit.lumen.value === "") return <dd><button type="button" class="quiet" onClick={() => { document.querySelector<HTMLSelectElement>(".fit-beside select")?.focus(); }}>Choose the guide on this side</button></dd>;
  if (fit.balloon.value === "") return <dd class="dim">No balloon of that size is on the shelf.</dd>;
  if (host === null) return <dd class="dim">being worked out</dd>;
  return <dd><b><span aria-hidden="true">{fitSign[host.verdict]}</span> {fitWords(host.verdict, host.margin_mm, host.too_close_to_call, host.smallest_lumen_mm, host.proved_lumen_mm)}</b> in {host.host} beside {beside}</dd>;
}

// The answer, above everything else of a pullback with two wires.
export function WillNotMeet() {
  const range = desk.range.value;
  if (range === null) return null;
  const answer = desk.joining.value;
  return (
    <section class="will-not-meet" aria-label="Why will they not meet?">
      <h3 class="follow-title">{answer?.joining.title ?? "Two wires"}</h3>
      <Strip />
      <dl>
        <dt>Where</dt><Where range={range} />
        <dt>Apart</dt><Apart />
        <dt>Balloon</dt><Balloon />
        {fit.size.value !== null && <><dt>Fits?</dt><Fits /></>}
      </dl>
    </section>
  );
}
