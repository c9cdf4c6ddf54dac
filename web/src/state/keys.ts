// SPDX-License-Identifier: Apache-2.0
// Every key and what it does, in one table: the handlers read it, and the list of keys on screen is made from it.
import * as desk from "../appraise/desk";
import * as measuring from "../appraise/measuring";
import { faster } from "../image/cine";
import { pairing } from "../pair/hand";
import { drawer, goTo, open, singleKeys, stage } from "./store";

export interface KeyRow {
  readonly keys: readonly string[]; // KeyboardEvent.key
  readonly shown: string;
  readonly words: string;
  readonly group: "Anywhere" | "The picture" | "Measuring";
  readonly when: () => boolean;
  readonly run: (event: KeyboardEvent) => void;
}

const always = () => true;
const onCase = () => open.value !== null;
const onPicture = () => stage.value === "appraise" && !pairing.value && desk.picture.value !== null;
const onAngiogram = () => onPicture() && desk.picture.value?.kind !== "ultrasound"; // a pullback has tools of its own
const measuringNow = () => onPicture() && measuring.task.value !== "none";
const far = (event: KeyboardEvent) => (event.shiftKey ? 10 : 1);

function arrow(event: KeyboardEvent, dx: number, dy: number): void {
  if (measuringNow()) desk.moveCrosshair(dx * far(event), dy * far(event));
  else if (dx !== 0) desk.step(dx);
  else desk.pan(0, dy * -24);
}
function escape(): void {
  if (drawer.value.kind !== "shut") drawer.value = { kind: "shut" };
  else if (pairing.value) pairing.value = false;
  else if (measuring.task.value !== "none") measuring.begin("none");
}

export const keyTable: readonly KeyRow[] = [
  { keys: ["1"], shown: "1", words: "Appraise", group: "Anywhere", when: onCase, run: () => goTo("appraise") },
  { keys: ["2"], shown: "2", words: "Plan", group: "Anywhere", when: onCase, run: () => goTo("plan") },
  { keys: ["3"], shown: "3", words: "Run", group: "Anywhere", when: onCase, run: () => goTo("run") },
  { keys: ["4"], shown: "4", words: "Record", group: "Anywhere", when: onCase, run: () => goTo("record") },
  { keys: ["5"], shown: "5", words: "Journal", group: "Anywhere", when: onCase, run: () => goTo("journal") },
  { keys: ["6"], shown: "6", words: "Kit", group: "Anywhere", when: always, run: () => { location.hash = "#/kit"; } },
  { keys: ["7"], shown: "7", words: "Practice", group: "Anywhere", when: always, run: () => { location.hash = "#/practice"; } },
  { keys: ["0"], shown: "0", words: "All cases", group: "Anywhere", when: always, run: () => goTo("cases") },
  { keys: ["/"], shown: "/", words: "Find a fact by name", group: "Anywhere", when: () => stage.value === "appraise", run: () => document.getElementById("find-fact")?.focus() },
  { keys: ["?"], shown: "?", words: "This list of keys", group: "Anywhere", when: always, run: () => { drawer.value = drawer.value.kind === "help" ? { kind: "shut" } : { kind: "help" }; } },
  { keys: ["Escape"], shown: "Esc", words: "Close the drawer; put the tool down", group: "Anywhere", when: always, run: escape },
  { keys: [" "], shown: "Space", words: "Play or pause", group: "The picture", when: onPicture, run: () => desk.toggle() },
  { keys: ["ArrowLeft"], shown: "←", words: "One frame back (with a tool: crosshair left)", group: "The picture", when: onPicture, run: (event) => arrow(event, -1, 0) },
  { keys: ["ArrowRight"], shown: "→", words: "One frame on (with a tool: crosshair right)", group: "The picture", when: onPicture, run: (event) => arrow(event, 1, 0) },
  { keys: ["ArrowUp"], shown: "↑", words: "Picture down (with a tool: crosshair up)", group: "The picture", when: onPicture, run: (event) => arrow(event, 0, -1) },
  { keys: ["ArrowDown"], shown: "↓", words: "Picture up (with a tool: crosshair down)", group: "The picture", when: onPicture, run: (event) => arrow(event, 0, 1) },
  { keys: [","], shown: ",", words: "One frame back", group: "The picture", when: onPicture, run: () => desk.step(-1) },
  { keys: ["."], shown: ".", words: "One frame on", group: "The picture", when: onPicture, run: () => desk.step(1) },
  { keys: ["["], shown: "[", words: "Slower", group: "The picture", when: onPicture, run: () => { desk.speed.value = faster(desk.speed.value, -1); } },
  { keys: ["]"], shown: "]", words: "Faster", group: "The picture", when: onPicture, run: () => { desk.speed.value = faster(desk.speed.value, 1); } },
  { keys: ["l"], shown: "L", words: "Loop on or off", group: "The picture", when: onPicture, run: () => { desk.loop.value = !desk.loop.value; } },
  { keys: ["+", "="], shown: "+", words: "Nearer", group: "The picture", when: onPicture, run: () => desk.zoom(1.25) },
  { keys: ["-"], shown: "−", words: "Farther", group: "The picture", when: onPicture, run: () => desk.zoom(0.8) },
  { keys: ["f"], shown: "F", words: "Whole picture", group: "The picture", when: onPicture, run: () => desk.fit() },
  { keys: ["h"], shown: "H", words: "Hand: move the picture", group: "The picture", when: onPicture, run: () => measuring.begin("none") },
  { keys: ["w"], shown: "W", words: "Grey window by dragging", group: "The picture", when: onPicture, run: () => { measuring.begin("none"); desk.hand.value = "window"; } },
  { keys: ["b"], shown: "B", words: "Brighter (with Shift: darker)", group: "The picture", when: onPicture, run: () => desk.dragWindow(0, -12) },
  { keys: ["B"], shown: "Shift B", words: "Darker", group: "The picture", when: onPicture, run: () => desk.dragWindow(0, 12) },
  { keys: ["n"], shown: "N", words: "More contrast", group: "The picture", when: onPicture, run: () => desk.dragWindow(-12, 0) },
  { keys: ["N"], shown: "Shift N", words: "Less contrast", group: "The picture", when: onPicture, run: () => desk.dragWindow(12, 0) },
  { keys: ["t"], shown: "T", words: "Trace a vessel", group: "Measuring", when: onAngiogram, run: () => measuring.begin("trace") },
  { keys: ["r"], shown: "R", words: "Ruler", group: "Measuring", when: onAngiogram, run: () => measuring.begin("ruler") },
  { keys: ["c"], shown: "C", words: "Scale from a catheter", group: "Measuring", when: onAngiogram, run: () => measuring.begin("catheter") },
  { keys: ["g"], shown: "G", words: "Mark the caps of the occlusion", group: "Measuring", when: onAngiogram, run: () => measuring.begin("gap") },
  { keys: ["Enter"], shown: "Enter", words: "Set a point at the crosshair (arrows move it, with Shift by 10)", group: "Measuring", when: measuringNow, run: () => { if (desk.crosshair.value) measuring.addPoint(desk.crosshair.value); else desk.moveCrosshair(0, 0); } },
  { keys: ["Backspace"], shown: "⌫", words: "Take the last point away", group: "Measuring", when: measuringNow, run: () => measuring.removePoint(measuring.points.value.length - 1) },
  { keys: ["a"], shown: "A", words: "Accept what was measured", group: "Measuring", when: measuringNow, run: () => { if (measuring.task.value === "ruler") void measuring.acceptLength(); else if (measuring.scaleFound.value) void measuring.acceptScale(measuring.scaleFound.value, measuring.points.value.length === 2); } },
];

const typing = (target: EventTarget | null): boolean =>
  target instanceof HTMLElement && (target.matches("input:not([type=checkbox], [type=radio]), textarea, select") || target.isContentEditable);
// Keys that a button, radio, slider or list keeps for itself.
const keptByControls = new Set([" ", "Enter", "ArrowLeft", "ArrowRight", "ArrowUp", "ArrowDown"]);
const onControl = (target: EventTarget | null): boolean =>
  target instanceof HTMLElement && target.closest("button, a, input, select, summary") !== null;

export function findKey(table: readonly KeyRow[], event: Pick<KeyboardEvent, "key">): KeyRow | null {
  return table.find((row) => row.keys.includes(event.key) && row.when()) ?? null;
}

export function listenToKeys(): void {
  window.addEventListener("keydown", (event) => {
    if (event.ctrlKey || event.metaKey || event.altKey || event.defaultPrevented) return;
    if (typing(event.target) && event.key !== "Escape") return;
    if (onControl(event.target) && keptByControls.has(event.key)) return;
    if (!singleKeys.value && event.key.length === 1 && event.key !== " ") return;
    const row = findKey(keyTable, event);
    if (!row) return;
    event.preventDefault();
    row.run(event);
  });
}
