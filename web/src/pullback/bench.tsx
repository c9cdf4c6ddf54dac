// SPDX-License-Identifier: Apache-2.0
// Beside the pullback: what is missing, how far the reading has come, this frame's figures, the spaces with their odds and
// the reader's marks, what follows, and what may be accepted into the facts.
import { useState } from "preact/hooks";
import * as view from "../appraise/desk";
import { open, say, sourceOf, write } from "../state/store";
import { chance, countOf, figure, numberIn, reading as readingWords } from "../words/number";
import * as desk from "./desk";
import { useFitBeside } from "./fit-beside";
import { Follows } from "./follows";
import { kSpaceWords } from "./told";
import { WillNotMeet } from "./two-wires";
import { AlongVessel } from "./along-vessel";
import * as kept from "./kept";
import { factOf, offers, type Offer } from "./offers";
import type { Arc, Chances, Range, Told, Value } from "./shapes";

const kTypedShare = 0.04; // the catheter's own size error, ivus-size-2003: what the engine adds to every length

function PixelForm() {
  const [typed, setTyped] = useState("");
  const accept = async () => {
    const value = numberIn(typed);
    if (value === null || value > 0.5) return say("trouble", "That is no size of a pixel: type millimetres, as 0.02");
    const done = await write("calibration", { image: desk.hash.value, mm_per_px: value, sd_mm_per_px: value * kTypedShare, method: "typed: from the catheter's settings" });
    if (done) say("done", "Scale kept for this pullback");
  };
  return (
    <form class="ask-scale" onSubmit={(event) => { event.preventDefault(); void accept(); }}>
      <p class="next" role="status">The file does not say how large a pixel is. Nothing is measured until it is typed; nothing is assumed.</p>
      <label>Size of a pixel, mm<input inputMode="decimal" value={typed} onInput={(event) => setTyped(event.currentTarget.value)} placeholder="0.02" /></label>
      <button type="submit" class="main">Use this scale</button>
    </form>
  );
}

function SpeedForm() {
  const [typed, setTyped] = useState("");
  const found = desk.reading.value;
  if (found === null || found.speed_mm_s !== null) return null;
  const accept = () => {
    const value = numberIn(typed);
    if (value === null || value > 50) return say("trouble", "That is no speed of a pullback: type millimetres a second, as 0.5");
    desk.setSpeed(value);
  };
  return (
    <form class="ask-scale" onSubmit={(event) => { event.preventDefault(); accept(); }}>
      <p class="warn">The speed of the pullback is not known: frames have an order, but no distances.</p>
      <label>Speed, mm/s<input inputMode="decimal" value={typed} onInput={(event) => setTyped(event.currentTarget.value)} placeholder="0.5" /></label>
      <button type="submit">Use this speed</button>
    </form>
  );
}

function Progress() {
  const image = view.picture.value;
  if (desk.busy.value) {
    const share = desk.share.value;
    return (
      <div class="reading-on" role="status">
        <span>{desk.reading.value === null ? "Reading the pullback" : "Reading again with your points"}{share === null ? "" : `, ${Math.round(share * 100)} %`}</span>
        <progress max={1} value={share ?? 0} aria-label="Share of the reading that is done" />
        <button type="button" onClick={() => desk.cancel()}>Cancel</button>
      </div>
    );
  }
  if (desk.reading.value !== null || image === null) return null;
  return <div class="accept"><p class="next">{countOf(image.frames, "frame", "frames")}: borders, wires and spaces are not read yet.</p><button type="button" class="main" onClick={() => void desk.read()}>Read the pullback</button></div>;
}

function Row({ words, value, unit, none }: { readonly words: string; readonly value: Value | null; readonly unit: string; readonly none: string }) {
  return <tr><th scope="row">{words}</th><td class="figures">{value === null ? <span class="dim">{none}</span> : readingWords(value.value, value.sd, unit)}</td></tr>;
}

const kWhyWords: Readonly<Record<Arc["why"], string>> = {
  calcium: "of calcium", wire: "behind a wire", shadow: "of shadow", "ring-down": "of ring-down", faint: "where the media does not stand out",
};

function Here() {
  const section = desk.sectionBeside.value;
  if (section === null) return null;
  const arcs = section.not_seen.filter((each) => each.why !== "wire");
  return (
    <section class="here" aria-label="This frame">
      <h3>{desk.placeWords(desk.beside.value)}</h3>
      <table>
        <tbody>
          <Row words="Lumen or channel" value={section.lumen_area_mm2} unit="mm²" none="" />
          {section.stent_area_mm2 && <Row words="Stent" value={section.stent_area_mm2} unit="mm²" none="" />}
          <Row words="Vessel" value={section.eem_area_mm2} unit="mm²" none="not seen enough" />
          <Row words="Vessel, smallest" value={section.eem_min_mm} unit="mm" none="not seen enough" />
          <Row words="Vessel, largest" value={section.eem_max_mm} unit="mm" none="not seen enough" />
          <tr><th scope="row">Plaque burden</th><td class="figures">{section.plaque_burden === null ? <span class="dim">not seen enough</span> : `${figure(100 * section.plaque_burden.value, 0)} ± ${figure(100 * section.plaque_burden.sd, 0)} %`}</td></tr>
          <tr><th scope="row">Calcium, arc</th><td class="figures">{section.calcium_deg > 0 ? `${figure(section.calcium_deg, 0)}°` : "none seen"}</td></tr>
          <Row words="Tissue to the second wire" value={section.tissue_mm} unit="mm" none={section.second_wire === null ? "no second wire found" : "wire not seen here"} />
        </tbody>
      </table>
      {desk.reading.value !== null && desk.reading.value.heart === null && <p class="dim small">The heart's beat does not stand out in this pullback.</p>}
      {arcs.length > 0 && <p class="dim small">Not seen: {arcs.map((each) => `${figure(each.to_deg - each.from_deg, 0)}° ${kWhyWords[each.why]}`).join(", ")}.</p>}
    </section>
  );
}

// What the odds rest on, beside them.
function signWords(range: Range): string {
  const list = [`media round the catheter in ${figure(100 * range.media_share, 0)} % of what is seen`];
  if (range.catheter_side !== "outside" && range.lining_sectors > 0) list.push(range.lining >= 11.8 ? "the wall's edge is bright, as an intima's" : "the wall has no bright edge of its own");
  if (range.branch_opens >= 3 && range.branch_opens >= range.branch_beyond) list.push("a branch opens into the channel");
  else if (range.branch_beyond >= 3 && range.catheter_side === "inside") list.push("a branch begins beyond tissue");
  return list.join("; ");
}
function besideWords(range: Range): string {
  if (range.media_between === null) return "";
  return range.media_between >= 6.5 ? "a media line lies between catheter and wire" : "no media line is seen between catheter and wire";
}

function Odds({ words, odds, told, why }: { readonly words: string; readonly odds: Chances | null; readonly told: Told; readonly why: string }) {
  const parts = odds === null ? [] : [["lumen", odds.lumen], ["plaque", odds.plaque], ["outside", odds.outside]] as const;
  const figures = parts.map(([space, share]) => `${kSpaceWords[space]} ${chance(share)}`).join(", ");
  return (
    <div class="space-odds">
      <span>{words}</span>
      <b>{kSpaceWords[told]}</b>
      <div class="odds-bar three" role="img" aria-label={odds === null ? `${words}: no odds` : `${words}: ${figures}`}>
        {parts.map(([space, share]) => <span key={space} class={`part ${space}`} style={{ width: `${100 * share}%` }} />)}
      </div>
      <span class="dim small">{odds === null ? "not worked out here" : `${figures}${why === "" ? "" : `; ${why}`}`}</span>
    </div>
  );
}

function Mark({ words, fact, now }: { readonly words: string; readonly fact: "near_wire_space_ivus" | "far_wire_space_ivus"; readonly now: string | null }) {
  const choose = async (space: string | null) => {
    if (space === now) return;
    const done = await write("fact", {
      fact, value: space, mark: "read", origin: { image: desk.hash.value, frame: view.frame.value, method: "marked by a reader on ultrasound", points: [] },
      ...(space === null ? { note: "mark taken back: as measured" } : {}),
    });
    if (done) say("done", space === null ? `${words}: as measured again` : `${words}: ${space}, as you marked it`);
  };
  return (
    <fieldset class="choice mark-space"><legend>{words}, as you see it</legend>
      {([[null, "as measured"], ["lumen", "true lumen"], ["plaque", "plaque"], ["outside", "outside"]] as const).map(([space, text]) => (
        <label key={text}><input type="radio" name={fact} checked={now === space} onChange={() => void choose(space)} /><span>{text}</span></label>
      ))}
    </fieldset>
  );
}

function Spaces() {
  const range = desk.range.value;
  if (range === null) return null;
  const near = desk.nearMark.value;
  const far = desk.farMark.value;
  return (
    <section aria-label="Spaces" class="spaces">
      <h3>Spaces, frames {range.first + 1} to {range.last + 1}</h3>
      <Odds words="Catheter" odds={range.catheter} told={range.catheter_space} why={signWords(range)} />
      <Odds words="Second wire" odds={range.wire} told={range.wire_space} why={besideWords(range)} />
      <p class="dim small">Nobody has published a tested way to tell these spaces; the odds were checked on invented pullbacks, which are easier than patients. Below 8 in 10 a space is unknown. Your mark wins.</p>
      <Mark words="Near wire" fact="near_wire_space_ivus" now={near} />
      <Mark words="Far wire" fact="far_wire_space_ivus" now={far} />
    </section>
  );
}

// Whose points these are, and whether they are kept.
function Kept() {
  const standing = kept.standing.value;
  if (kept.keepTrouble.value !== "") return <p class="warn" role="alert">▲ {kept.keepTrouble.value}</p>;
  if (standing === null || standing.version === 0) return null;
  return <p class="dim small" role="status">{kept.keeping.value ? "Points are being kept" : `Points kept beside the run, version ${standing.version}, by ${standing.by}`}</p>;
}

function ByHand() {
  const found = desk.byHand.value;
  const tool = desk.tool.value;
  if (tool === "lumen" || tool === "media" || tool === "stent") {
    const count = desk.corrections.value.length;
    return (
      <section class="by-hand" aria-label="Points by hand">
        <p class="next" role="status">Drag a mark, or click where the {tool === "lumen" ? "lumen's border" : tool === "media" ? "media's outer edge" : "stent"} passes. Frames beside this one follow.</p>
        {count + desk.wires.value.length > 0 && <div class="bench-end"><button type="button" class="quiet" onClick={desk.undoLast}>Undo last</button><button type="button" class="quiet" onClick={desk.clearMarks}>Clear {countOf(count + desk.wires.value.length, "mark", "marks")}</button></div>}
      </section>
    );
  }
  if (tool === "second" || tool === "catheter") return <p class="next" role="status">Click the echo of {tool === "second" ? "the second wire" : "the wire that the catheter rides on"} in one frame; it is followed from there.</p>;
  if (tool !== "distance" && tool !== "area" && tool !== "angle") return null;
  if (!desk.pixelKnown.value) return <p class="next" role="status">Nothing is measured before the size of a pixel is known.</p>;
  return (
    <section class="by-hand" aria-label="By hand">
      {found === null && <p class="next" role="status">{tool === "distance" ? "Click both ends." : tool === "area" ? "Click round the area, three points or more." : "Click three points, the angle's own in the middle."}</p>}
      {found && <p class="mid figures" aria-label="Measured by hand">{readingWords(found.value, found.sd, found.unit === "mm2" ? "mm²" : found.unit)}</p>}
      {found && <p class="dim small">{found.method}</p>}
      {desk.points.value.length > 0 && <div class="bench-end"><button type="button" class="quiet" onClick={desk.clearPoints}>Clear points</button></div>}
    </section>
  );
}

// Shares of the lumen beside the stent: a bar against the whole, then the figures. What is usually sought is said, not asked for.
function StentFound() {
  const stent = desk.reading.value?.stent ?? null;
  if (stent === null) return null;
  const citation = (id: string) => sourceOf.value.get(id)?.citation ?? id;
  return (
    <section aria-label="Stent" class="stent-found">
      <h3>Stent, frames {stent.first + 1} to {stent.last + 1}</h3>
      <p><button type="button" class="quiet" onClick={() => view.jump(stent.smallest)} aria-label={`Smallest stent area: go to ${desk.placeWords(stent.smallest)}`}>Smallest area</button> <b class="figures">{readingWords(stent.smallest_area_mm2.value, stent.smallest_area_mm2.sd, "mm²")}</b></p>
      {stent.expansion.map((each) => (
        <div class="stent-share" key={each.against}>
          <span>of {each.against}</span><b class="figures">{figure(100 * each.value, 0)} ± {figure(100 * each.sd, 0)} %</b>
          <div class="odds-bar" role="img" aria-label={`${figure(100 * each.value, 0)} per cent of ${each.against}`}><span class="in" style={{ width: `${Math.min(100, 100 * each.value)}%` }} /><span class="line" style={{ left: "80%" }} /><span class="line" style={{ left: "90%" }} /></div>
        </div>
      ))}
      {stent.expansion.length === 0 && <p class="dim">No reference beside the stent is in this pullback: its expansion is not known.</p>}
      <p class="dim small">Where the catheter was drawn back, frames before the stent lie distal of it. Usually sought, outside the left main: above 80 % of the mean of both references or above 5.5 mm² ({citation("ivus-consensus-2018")}); above 90 % of the distal reference or above 5.0 mm² ({citation("ivus-ultimate-2018")}). {stent.by_reader ? "With your points." : "Struts were found by the engine; calcium can look alike."} Local protocol and the operator decide.</p>
    </section>
  );
}

function OfferLine({ offer }: { readonly offer: Offer }) {
  const reading = desk.reading.value;
  const round = desk.round.value;
  const stands = open.value?.facts.find((each) => each.name === offer.fact);
  const same = stands?.origin?.image === desk.hash.value && stands.origin.frame === offer.frame;
  const accept = async () => {
    if (reading === null || round === null) return;
    const done = await write("fact", factOf(offer, reading, round, desk.hash.value, desk.corrections.value.length));
    if (done) say("done", `${offer.words}: it stands in the journal`);
  };
  const shown = offer.unit === "" ? `${figure(100 * offer.value, 0)} ± ${figure(100 * (offer.sd ?? 0), 0)} %` : readingWords(offer.value, offer.sd, offer.unit);
  return (
    <li class="offer">
      <span class="offer-words">{offer.words}<b class="figures">{shown}</b></span>
      <span class="offer-do">
        <button type="button" class="quiet" onClick={() => view.jump(offer.frame)} aria-label={`${offer.words}: go to ${desk.placeWords(offer.frame)}`}>{offer.where === "here" ? "this frame" : desk.placeWords(offer.frame)}</button>
        <button type="button" onClick={() => void accept()} aria-label={`Accept: ${offer.words}`}>{same ? "Accept again" : "Accept"}</button>
      </span>
    </li>
  );
}

function Offers() {
  const reading = desk.reading.value;
  if (reading === null) return null;
  return (
    <section aria-label="Into the facts">
      <h3>Into the facts</h3>
      <ul class="offers">{offers(reading, desk.beside.value).map((offer) => <OfferLine key={offer.fact} offer={offer} />)}</ul>
    </section>
  );
}

function TwoWires({ asked }: { readonly asked: boolean }) {
  useFitBeside();
  return <>{asked && <WillNotMeet />}<Spaces />{desk.reading.value && <section aria-label="What follows"><Follows titled={!asked} /></section>}</>;
}

export function PullbackBench() {
  // With a second wire in the pullback the question at the table is why the two will not meet: its answer stands first.
  const askedOfTwo = desk.farMark.value !== null || (desk.reading.value?.ranges.some((each) => each.wire !== null) ?? false);
  return (
    <section class="bench pullback-bench" aria-label="Pullback, read" aria-busy={desk.busy.value} tabIndex={0}>
      <h2 class="unseen">Pullback</h2>
      {!desk.pixelKnown.value && <PixelForm />}
      <ByHand />
      <Kept />
      {desk.pixelKnown.value && <Progress />}
      {desk.trouble.value !== "" && <p class="bench-trouble" role="alert"><span aria-hidden="true">▲</span> {desk.trouble.value}</p>}
      <SpeedForm />
      {askedOfTwo && <TwoWires asked />}
      <Here />
      <StentFound />
      <Offers />
      {!askedOfTwo && <TwoWires asked={false} />}
      <AlongVessel />
    </section>
  );
}
