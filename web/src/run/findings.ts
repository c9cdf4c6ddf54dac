// SPDX-License-Identifier: Apache-2.0
// Why a crossing will not go, and what is commonly tried, in order: practice of the trade, no single source. `reason` is the
// log's word; `need` asks the lab's shelf. Nothing here tells whether a step suits this patient.
export interface Step {
  readonly says: string;
  readonly need?: string; // as GET /api/kit/shelf takes it
}
export interface Finding {
  readonly reason: string;
  readonly seen: string;
  readonly likely: string;
  readonly steps: readonly Step[];
  readonly side?: "retrograde";
}
const extension: Step = { says: "guide extension", need: "guide-extension" };
const small: Step = { says: "smallest low-profile balloon, 1.0 to 1.25 mm", need: "balloon profile<=0.85mm" };
const ultrasound: Step = { says: "ultrasound: where the wire is", need: "ultrasound" };
const dual: Step = { says: "dual-lumen microcatheter over the wire that is in", need: "dual-lumen" };

export const kFindings: readonly Finding[] = [
  { reason: "cap-hard", seen: "The cap is not entered: the wire buckles or the guide backs out", likely: "hard cap, weak support, or the wrong spot", steps: [
    { says: "angle and contact in a second view; microcatheter tip at the cap", need: "microcatheter" }, extension, { says: "anchor balloon in a side branch", need: "balloon" },
    { says: "a stiffer wire by one step, high penetration for millimetres only, then down again", need: "wire" }, { says: "entry beside the cap, or from the other side" }] },
  { reason: "cap-unclear", seen: "Nobody can say where the cap is", likely: "ambiguous cap, often at a branch", steps: [
    { says: "CT overlay, if there is a CT" }, { ...ultrasound, says: "ultrasound from the side branch" }, dual, { says: "move the cap, or come from the other side" }] },
  { reason: "side-branch", seen: "The tip follows a side branch in two views", likely: "branch at the cap or inside the lesion", steps: [
    dual, { ...ultrasound, says: "ultrasound in the branch" }, { says: "balloon in the branch to block it", need: "balloon" }, { says: "another tip angle" }] },
  { reason: "outside-plaque", seen: "Smooth path outside the expected line, no branch entered", likely: "the wire is in the wall outside plaque", steps: [
    { says: "leave it as a marker: do not chase or enlarge" }, { says: "second wire in parallel", need: "wire" }, dual, { says: "re-entry, if the landing zone allows it", need: "reentry" }, ultrasound, { says: "the other side" }] },
  { reason: "haematoma", seen: "The true lumen is pressed shut, distal filling is gone", likely: "injections from the front, or a long knuckle", steps: [
    { says: "no antegrade injection" }, { says: "draw blood back through microcatheter or balloon port" }, { says: "re-enter proximal to the haematoma", need: "reentry" }, { says: "the other side" }] },
  { reason: "catheter-stops", seen: "The wire is through, the microcatheter stops", likely: "calcium, a bend, friction, or a weak guide", steps: [
    { says: "turn it; another tip", need: "microcatheter" }, extension, { says: "anchor", need: "balloon" }, small, { says: "second wire and balloon to crush plaque" }, { says: "burr after a wire exchange", need: "atherectomy" }] },
  { reason: "uncrossable", seen: "No balloon passes after wire and microcatheter", likely: "calcium, a bend, friction", steps: [
    small, { says: "inflate, or rupture it at the lesion with all air out first", need: "balloon" }, { says: "microcatheter with a threaded tip", need: "microcatheter" }, extension, { says: "crush the plaque from outside plaque" }, { says: "burr", need: "atherectomy" }] },
  { reason: "undilatable", seen: "A waist stays at high pressure", likely: "calcium", steps: [
    { says: "non-compliant balloon 1:1, then very high pressure", need: "balloon" }, { says: "cutting or scoring balloon; lithotripsy" }, { says: "burr: hardly over a path outside plaque", need: "atherectomy" }] },
  { reason: "support", seen: "The guide jumps", likely: "shape, size, or take-off", steps: [
    { says: "7 to 8 F guide, long sheath", need: "guide" }, extension, { says: "anchor, or a second wire", need: "balloon" }, { says: "another access" }] },
  { reason: "channel-wire", seen: "The wire will not turn or go on in the collateral", likely: "corkscrew, sharp exit, or no visible connection", side: "retrograde", steps: [
    { says: "tip injection of the channel through the microcatheter, only with blood flowing back" }, { says: "another septal; surfing in septals only" }, { says: "another class of channel, or a graft" }, { says: "back to the front" }] },
  { reason: "channel-catheter", seen: "The collateral is wired, the microcatheter will not follow", likely: "small, bent, or the donor guide is weak", side: "retrograde", steps: [
    { says: "turn it; a second design", need: "microcatheter" }, { says: "in septals only: small balloon, 1.0 to 1.5 mm, low pressure", need: "balloon profile<=0.85mm" }, { ...extension, says: "extension in the donor, with care" }, { says: "trap the retrograde wire from the front", need: "balloon" }] },
  { reason: "far-cap", seen: "The wire buckles at the far cap", likely: "hard distal cap", side: "retrograde", steps: [
    { says: "microcatheter up to the cap" }, { says: "stiffer wire, or a knuckle", need: "wire" }, { says: "meet it from the front" }] },
  { reason: "not-joined", seen: "The two wires do not join", likely: "different spaces, no overlap, or a balloon too small", side: "retrograde", steps: [
    { says: "side by side in two views 60° apart, and overlapping?" }, { ...ultrasound, says: "ultrasound on the antegrade wire: both spaces" }, { says: "larger antegrade balloon, by the vessel's size", need: "balloon" }, { ...extension, says: "extension close to the site" }] },
  { reason: "no-flow", seen: "Re-entered, and no flow beyond", likely: "dissection, the wrong branch, or re-entry too far down", steps: [
    ultrasound, { says: "no stent without proof of the landing zone" }, { says: "open the plaque, leave it, come back" }] },
  { reason: "kit-or-skill", seen: "Kit or skill is missing", likely: "", steps: [{ says: "stop, and refer or call a proctor" }] },
  { reason: "patient", seen: "The patient cannot go on: pain, pressure, movement", likely: "", steps: [{ says: "stop, or anaesthesia" }] },
];

export const findingsFor = (strategy: string | null): readonly Finding[] =>
  kFindings.filter((each) => each.side !== "retrograde" || strategy === null || strategy === "RW" || strategy === "RDR");
export const needsOf = (finding: Finding): readonly string[] => [...new Set(finding.steps.flatMap((step) => (step.need === undefined ? [] : [step.need])))];
