// SPDX-License-Identifier: Apache-2.0
// Why a crossing will not go, and what is commonly tried, in order: practice of the trade, no single source. `reason` is the
// log's word; `need` asks the lab's shelf. Nothing here tells whether a step suits this patient.
export interface Step {
  readonly word: string; // the log's
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
const extension: Step = { word: "extension", says: "guide extension", need: "guide-extension" };
const small: Step = { word: "small-balloon", says: "smallest low-profile balloon, 1.0 to 1.25 mm", need: "balloon nominal<=1.25mm" };
const ultrasound: Step = { word: "ultrasound", says: "ultrasound: where the wire is", need: "ultrasound" };
const dual: Step = { word: "dual-lumen", says: "dual-lumen microcatheter over the wire that is in", need: "dual-lumen" };
const anchor: Step = { word: "anchor", says: "anchor balloon in a side branch", need: "balloon" };
const other: Step = { word: "other-side", says: "come from the other side" };
const burr: Step = { word: "burr", says: "burr after a wire exchange", need: "atherectomy" };

export const kFindings: readonly Finding[] = [
  { reason: "cap-hard", seen: "The cap is not entered: the wire buckles or the guide backs out", likely: "hard cap, weak support, or the wrong spot", steps: [
    { word: "second-view", says: "angle and contact in a second view; microcatheter tip at the cap", need: "microcatheter" }, extension, anchor,
    { word: "stiffer", says: "a stiffer wire by one step, high penetration for millimetres only, then down again", need: "wire" },
    { word: "micro-injection", says: "contrast through the microcatheter into plaque, by hand, 1 mL at most" }, { word: "beside-cap", says: "entry beside the cap" }, other] },
  { reason: "cap-unclear", seen: "Nobody can say where the cap is", likely: "ambiguous cap, often at a branch", steps: [
    { word: "ct", says: "CT overlay, if there is a CT" }, { ...ultrasound, says: "ultrasound from the side branch" }, dual, { word: "move-cap", says: "move the cap" }, other] },
  { reason: "side-branch", seen: "The tip follows a side branch in two views", likely: "branch at the cap or inside the lesion", steps: [
    dual, { ...ultrasound, says: "ultrasound in the branch" }, { word: "block-branch", says: "balloon in the branch to block it", need: "balloon" }, { word: "tip-angle", says: "another tip angle" }] },
  { reason: "outside-plaque", seen: "Smooth path outside the expected line, no branch entered", likely: "the wire is in the wall outside plaque", steps: [
    { word: "marker", says: "leave it as a marker: do not chase or enlarge" }, { word: "parallel", says: "second wire in parallel", need: "wire" }, dual,
    { word: "re-enter", says: "re-entry, if the landing zone allows it", need: "reentry" }, ultrasound, other] },
  { reason: "haematoma", seen: "The true lumen is pressed shut, distal filling is gone", likely: "injections from the front, or a long knuckle", steps: [
    { word: "no-injection", says: "no antegrade injection" }, { word: "draw-blood", says: "draw blood back through microcatheter or balloon port" },
    { word: "re-enter", says: "re-enter proximal to the haematoma", need: "reentry" }, other] },
  { reason: "catheter-stops", seen: "The wire is through, the microcatheter stops", likely: "calcium, a bend, friction, or a weak guide", steps: [
    { word: "turn", says: "turn it; another tip", need: "microcatheter" }, extension, { ...anchor, says: "anchor" }, small, { word: "crush", says: "second wire and balloon to crush plaque" },
    { word: "laser", says: "laser, where there is one" }, burr] },
  { reason: "uncrossable", seen: "No balloon passes after wire and microcatheter", likely: "calcium, a bend, friction", steps: [
    small, { word: "burst", says: "inflate, or rupture it at the lesion with all air out first", need: "balloon" }, { word: "threaded", says: "microcatheter with a threaded tip", need: "microcatheter" }, extension,
    { word: "crush", says: "crush the plaque from outside plaque" }, { word: "laser", says: "laser, where there is one" }, burr] },
  { reason: "undilatable", seen: "A waist stays at high pressure", likely: "calcium", steps: [
    { word: "high-pressure", says: "non-compliant balloon 1:1, then very high pressure", need: "balloon" }, { word: "cutting", says: "cutting or scoring balloon" }, { word: "lithotripsy", says: "lithotripsy" },
    { ...burr, says: "burr: hardly over a path outside plaque" }, { word: "laser", says: "laser, by the lab's protocol" }] },
  { reason: "support", seen: "The guide jumps", likely: "shape, size, or take-off", steps: [
    { word: "bigger-guide", says: "7 to 8 F guide, long sheath", need: "guide" }, extension, { ...anchor, says: "anchor, or a second wire" }, { word: "other-access", says: "another access" }] },
  { reason: "channel-wire", seen: "The wire will not turn or go on in the collateral", likely: "corkscrew, sharp exit, or no visible connection", side: "retrograde", steps: [
    { word: "tip-injection", says: "tip injection of the channel through the microcatheter, only with blood flowing back" }, { word: "other-septal", says: "another septal; surfing in septals only" },
    { word: "other-channel", says: "another class of channel, or a graft" }, { word: "from-front", says: "back to the front" }] },
  { reason: "channel-catheter", seen: "The collateral is wired, the microcatheter will not follow", likely: "small, bent, or the donor guide is weak", side: "retrograde", steps: [
    { word: "turn", says: "turn it; a second design", need: "microcatheter" }, { word: "small-balloon", says: "in septals only: small balloon, 1.0 to 1.5 mm, low pressure", need: "balloon nominal<=1.5mm" },
    { ...extension, says: "extension in the donor, with care" }, { word: "trap", says: "trap the retrograde wire from the front", need: "balloon" }] },
  { reason: "far-cap", seen: "The wire buckles at the far cap", likely: "hard distal cap", side: "retrograde", steps: [
    { word: "closer", says: "microcatheter up to the cap" }, { word: "stiffer", says: "stiffer wire", need: "wire" }, { word: "knuckle", says: "a knuckle", need: "wire" }, { word: "meet", says: "meet it from the front" }] },
  { reason: "not-joined", seen: "The two wires do not join", likely: "different spaces, no overlap, or a balloon too small", side: "retrograde", steps: [
    { word: "overlap", says: "side by side in two views 60° apart, and overlapping?" }, { ...ultrasound, says: "ultrasound on the antegrade wire: both spaces" },
    { word: "larger-balloon", says: "larger antegrade balloon, by the vessel's size", need: "balloon" }, { ...extension, says: "extension close to the site" }] },
  { reason: "no-flow", seen: "Re-entered, and no flow beyond", likely: "dissection, the wrong branch, or re-entry too far down", steps: [
    ultrasound, { word: "prove-landing", says: "no stent without proof of the landing zone" }, { word: "open-and-leave", says: "open the plaque, leave it, come back" }] },
  { reason: "complication", seen: "Something went wrong", likely: "the key Trouble at the right edge has its lists", steps: [{ word: "open-and-leave", says: "what the list of that trouble says comes first; then whether to go on at all" }] },
  { reason: "limit", seen: "A limit is reached: contrast, dose, time, sedation", likely: "", steps: [{ word: "open-and-leave", says: "open the plaque without a stent, leave it, come back" }] },
  { reason: "kit-or-skill", seen: "Kit or skill is missing", likely: "", steps: [{ word: "proctor", says: "stop, and refer or call a proctor" }] },
  { reason: "patient", seen: "The patient cannot go on: pain, pressure, movement", likely: "", steps: [{ word: "anaesthesia", says: "stop, or anaesthesia" }] },
];

export const findingsFor = (strategy: string | null): readonly Finding[] =>
  kFindings.filter((each) => each.side !== "retrograde" || strategy === null || strategy === "RW" || strategy === "RDR");
export const needsOf = (finding: Finding): readonly string[] => [...new Set(finding.steps.flatMap((step) => (step.need === undefined ? [] : [step.need])))];
