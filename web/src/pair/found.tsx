// SPDX-License-Identifier: Apache-2.0
// What two views gave: the occlusion first, then paths, then how well the views fit each other; and acceptance.
import { useState } from "preact/hooks";
import { niceTop, Parts, SoftBar } from "../appraise/parts";
import { channels } from "../state/store";
import type { Course, PairAnswer } from "../wire/pair";
import { chance, countOf, figure, reading } from "../words/number";
import { before } from "./hand";
import { accept, busy, fillsOf, table, type WayOf } from "./pairing";

function Warnings({ texts }: { readonly texts: readonly string[] }) {
  if (texts.length === 0) return null;
  return <ul class="bench-warnings">{texts.map((text) => <li key={text}><span aria-hidden="true">▲</span> {text}</li>)}</ul>;
}

function CourseWords({ course }: { readonly course: Course }) {
  const bend = course.bend_deg;
  return (
    <dl class="pair-facts">
      <div><dt>Largest bend</dt><dd class="figures"><span aria-label={`Bend of ${course.name}`}>{reading(bend.value, bend.sd, "deg")}</span> <span class="dim">at {figure(bend.at_mm, 1)} mm; above 45°: {chance(bend.over_45)}</span></dd></div>
      <div><dt>Length over chord</dt><dd class="figures">{reading(course.winding.value, course.winding.sd, "")}</dd></div>
      <div><dt>All turns together</dt><dd class="figures">{reading(course.turning_deg.value, course.turning_deg.sd, "deg")}</dd></div>
      {course.kind === "collateral" && course.turns.length > 0 && (
        <div><dt>Sharpest turns</dt><dd class="figures">{course.turns.slice(0, 3).map((turn) => `${reading(turn.turn_deg.value, turn.turn_deg.sd, "deg")} at ${figure(turn.at_mm, 0)} mm`).join(", ")}</dd></div>
      )}
    </dl>
  );
}

function Occlusion({ answer }: { readonly answer: PairAnswer }) {
  const inside = answer.occlusion;
  if (!inside) return null;
  const { value, sd } = inside.length_mm;
  return (
    <section aria-label="Occlusion in space">
      <h3>Occlusion</h3>
      <p class="big figures" aria-label="Length found">{inside.at_least && <span class="dim mid">at least </span>}{reading(value, sd, "mm")}</p>
      <SoftBar value={value} sd={sd} top={niceTop(value + 2 * (sd ?? 0))} unit="mm" />
      <p class="dim small">20 mm or more: {chance(inside.over_20_mm)}. {inside.method_text}</p>
      {inside.course && <CourseWords course={inside.course} />}
    </section>
  );
}

function Paths({ answer }: { readonly answer: PairAnswer }) {
  return (
    <>{answer.paths.map((path) => (
      <section key={path.name} aria-label={`Path ${path.name}`}>
        <h3>{path.kind === "collateral" ? "Collateral channel" : "Vessel"}</h3>
        <p class="mid figures">{reading(path.length_mm.value, path.length_mm.sd, "mm")}</p>
        <CourseWords course={path} />
        <Warnings texts={path.warnings} />
      </section>
    ))}</>
  );
}

function Fit({ answer }: { readonly answer: PairAnswer }) {
  if (!answer.in_space) return null;
  const change = answer.frames.get("b")?.change;
  const [x = 0, y = 0, z = 0] = change?.shift_mm ?? [];
  const [sx = 0, sy = 0, sz = 0] = change?.shift_sd_mm ?? [];
  return (
    <section aria-label="Fit of the views">
      <h3>How the views fit</h3>
      <p class="small">{Math.round(answer.between_deg)}° apart; {countOf(answer.marks.length, "point", "points")} within {figure(answer.fitted_rms_px, 1)} pixels ({figure(answer.stated_rms_px, 1)} by the files' geometry alone).</p>
      {change && <p class="dim small figures">B against A: {reading(x, sx, "mm")} left, {reading(y, sy, "mm")} back, {reading(z, sz, "mm")} up; angles by {figure(change.primary_deg, 1)}° and {figure(change.secondary_deg, 1)}°.</p>}
    </section>
  );
}

function Accept({ answer }: { readonly answer: PairAnswer }) {
  const [channel, setChannel] = useState("");
  const [way, setWay] = useState<WayOf>("");
  const path = answer.paths.some((each) => each.kind === "collateral");
  const vessel = answer.paths.some((each) => each.kind === "vessel");
  const ofChannel = path || way === "donor_way_mm" || way === "recipient_way_mm";
  const known = [...new Set([...channels.value, "c1"])];
  const of = channel === "" ? (known[0] ?? "c1") : channel;
  const fills = fillsOf(answer, ofChannel ? of : "", vessel ? way : "");
  const ways = vessel && (
    <label class="select">this vessel is, for the reach of devices,<select value={way} onChange={(event) => setWay(event.currentTarget.value as WayOf)}>
      <option value="">no part of a route</option><option value="antegrade_way_mm">ostium to beyond the occlusion</option>
      <option value="donor_way_mm">donor's ostium to the channel</option><option value="recipient_way_mm">channel back to the ostium</option></select></label>);
  if (fills.length === 0 && vessel && table.value !== "unasked") return <div class="accept">{ways}</div>;
  if (fills.length === 0) return answer.occlusion ? <p class="dim small">A length that is only a least is not accepted from here: mark both caps in both views, or use the ruler.</p> : null;
  if (table.value === "unasked") return <p class="next">Say below where the table stood before this is accepted. Where nobody knows, every length may be some per cent off, which its spread then holds.</p>;
  return (
    <div class="accept">
      {ways}
      {ofChannel && <label class="select">channel<select value={of} onChange={(event) => setChannel(event.currentTarget.value)}>{known.map((each) => <option key={each} value={each}>{each}</option>)}</select></label>}
      <button type="button" class="main" disabled={busy.value} onClick={() => void accept(fills)}>Accept {fills.map((fill) => fill.label).join(" and ")}</button>
    </div>
  );
}

function Before({ answer }: { readonly answer: PairAnswer }) {
  const was = before.value;
  if (was === null) return null;
  const same = was.method.startsWith(`${answer.method}:`);
  return <p class={same ? "dim small" : "bench-note warn"} role="status">{same ? `Re-opened: accepted then as ${was.words}.` : `Re-opened: accepted then as ${was.words} by ${was.method}. The method is now ${answer.method}; both are shown.`}</p>;
}

export function Found({ answer }: { readonly answer: PairAnswer }) {
  return (
    <>
      <Before answer={answer} />
      <Occlusion answer={answer} />
      <Paths answer={answer} />
      <Accept answer={answer} />
    </>
  );
}

// What it rests on: the parts of the spread, the fit, what is doubtful.
export function How({ answer }: { readonly answer: PairAnswer }) {
  return (
    <>
      {answer.occlusion && <section aria-label="What the spread is made of"><h3>Spread of the length</h3><Parts parts={answer.occlusion.length_mm.parts} unit="mm" /></section>}
      <Fit answer={answer} />
      <Warnings texts={[...(answer.occlusion?.course?.warnings ?? []), ...answer.warnings]} />
    </>
  );
}
