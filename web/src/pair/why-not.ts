// SPDX-License-Identifier: Apache-2.0
// Why two views cannot be measured in a case, in one sentence a reader can act on. Pure.
import type { CaseImage, Image } from "../wire/shapes";
import { apartDeg, kRefusedBelow } from "./apart";

const kShown = 3; // runs; more would be no sentence

function lacks(image: Image): string[] {
  return [
    ...(image.view === null ? ["its angles"] : []),
    ...(image.sid_mm === null ? ["the distance from source to detector"] : []),
    ...(image.sod_mm === null ? ["the distance from source to isocentre"] : []),
    ...(image.detector_spacing_mm === null ? ["the detector's spacing"] : []),
  ];
}

export function whyNot(runs: readonly Pick<CaseImage, "label" | "image">[]): string {
  const known = runs.flatMap(({ label, image }) => (image === null ? [] : [{ label, image, lacking: lacks(image) }]));
  const views = known.flatMap(({ image, lacking }) => (lacking.length === 0 && image.view ? [image.view] : []));
  const apart = views.flatMap((a, i) => views.slice(i + 1).map((b) => apartDeg(a, b)));
  if (apart.some((each) => each >= kRefusedBelow)) return "";
  const poor = known.filter(({ lacking }) => lacking.length > 0);
  const told = poor.slice(0, kShown).map(({ label, lacking }) => `${label} does not say ${lacking.join(", ")}`).join("; ") + (poor.length > kShown ? `; nor do ${poor.length - kShown} more` : "");
  const close = apart.length === 0 ? "" : `the others stand at most ${Math.round(Math.max(...apart))}° apart`;
  const why = [told, poor.length === 0 ? close.replace("the others", "the runs") : close].filter((each) => each !== "").join("; ");
  return `Two views need two runs that say their angles, distances and spacing, ${kRefusedBelow}° apart or more${why === "" ? "" : `: ${why}`}. Measure in one view (Caps, Trace), or bring in another run.`;
}
