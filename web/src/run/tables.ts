// SPDX-License-Identifier: Apache-2.0
// Tables of whole lines: what a verb usually takes, every combination a cell of its own, so that an exact entry costs a key, a
// cell and Enter. Sizes are common ones, practice, no source: offered, never filled in; what a cell says the engine reads.
import type { GrammarVerb } from "./grammar";

export interface Cell {
  readonly shows: string;
  readonly line: string;
}
export interface TableRow {
  readonly says: string;
  readonly cells: readonly Cell[];
}
export interface Table {
  readonly says: string;
  readonly rows: readonly TableRow[];
  readonly even: boolean; // cells of one width, in columns; else as wide as their words
  readonly slides: "" | "pressure" | "pressure and time"; // what a slide from a cell adds
}
export interface InBody {
  readonly tag: string;
  readonly side: "a" | "r";
}
export interface Known {
  readonly inBody: readonly InBody[];
  readonly channels: readonly string[]; // of the case
  readonly running: string; // the strategy of the attempt that runs, or ""
}

const even = (says: string, rows: readonly TableRow[], slides: Table["slides"] = ""): Table => ({ says, rows, even: true, slides });
const words = (says: string, rows: readonly TableRow[]): Table => ({ says, rows: rows.filter((row) => row.cells.length > 0), even: false, slides: "" });
const row = (says: string, cells: readonly (readonly [string, string])[]): TableRow => ({ says, cells: cells.map(([shows, line]) => ({ shows, line })) });
const of = (verb: GrammarVerb, field: string): readonly string[] => verb.fields.find((each) => each.name === field)?.words.map((each) => each.word) ?? [];
const upTo = (from: number, to: number, step = 1): readonly number[] => Array.from({ length: Math.floor((to - from) / step + 0.5) + 1 }, (_, at) => from + at * step);
const mm = (value: number): string => (Number.isInteger(value * 10) ? value.toFixed(1) : String(value));
const sides = ["a", "r"] as const;
const sideWords = { a: "antegrade", r: "retrograde" } as const;

// The letter by which the log numbers what a verb puts in.
const kLetters: Readonly<Record<string, string>> = { wire: "w", mc: "m", guide: "g", extension: "e" };
const outOf = (verb: string, known: Known): TableRow =>
  row("out", known.inBody.filter((each) => each.tag.startsWith(kLetters[verb] ?? "?")).map((each) => [`${each.tag} out`, `${verb} ${each.side} ${each.tag} out`]));
const wiresOf = (known: Known, side?: "a" | "r"): readonly InBody[] => known.inBody.filter((each) => each.tag.startsWith("w") && (side === undefined || each.side === side));

const kTips: Readonly<Record<string, readonly number[]>> = {
  soft: [0.3, 0.4, 0.5, 0.6, 0.7, 0.8, 1, 1.2], polymer: [0.3, 0.5, 0.6, 0.8, 1, 1.2, 1.5, 1.7, 2], intermediate: [1.5, 2, 3, 3.5, 4, 4.5, 6], penetrating: [6, 8, 9, 10, 12, 14, 15, 20, 25, 30, 40],
};
const kDiameters = [1.0, 1.25, 1.5, 2.0, 2.25, 2.5, 2.75, 3.0, 3.25, 3.5, 3.75, 4.0, 4.5, 5.0];
const kStents = [2.25, 2.5, 2.75, 3.0, 3.25, 3.5, 3.75, 4.0, 4.5, 5.0];
const kFrench = [5, 6, 7, 8];
const kBranches = ["d1", "d2", "s1", "om1", "om2", "rv", "pda", "pl"];
const sizes = (verb: string, side: string, diameters: readonly number[], lengths: readonly number[]): readonly TableRow[] =>
  lengths.map((length) => row(`x ${length} mm`, diameters.map((width) => [`${mm(width)}`, `${verb}${side} ${mm(width)}x${length}`])));

function accessTables(verb: GrammarVerb): readonly Table[] {
  const lengths = [["", ""], ["11", " 11cm"], ["25", " 25cm"], ["45", " 45cm"]] as const;
  return [even("French size, and sheath of how many cm", places(verb).map((place) => row(place, kFrench.flatMap((size) => lengths.map(([cm, said]) => [cm === "" ? `${size}F` : `${size}F ${cm}`, `access ${place} ${size}F${said}`] as const)))))];
}

const places = (verb: GrammarVerb): readonly string[] => of(verb, "site").flatMap((site) => of(verb, "body_side").map((side) => `${site} ${side}`));
function sheathTables(verb: GrammarVerb): readonly Table[] {
  if (verb.verb === "sheath") return [words("", of(verb, "move").map((move) => row(move, places(verb).map((place) => [place, `sheath ${move} ${place}`]))))];
  return [even("how it was closed, and how it is", places(verb).map((place) => row(place, of(verb, "kind").flatMap((kind) => of(verb, "outcome").map((went) => [`${kind} ${went}`, `closure ${kind} ${place} ${went}`] as const)))))];
}

function kitTables(verb: GrammarVerb, known: Known): readonly Table[] {
  switch (verb.verb) {
    case "guide": {
      const shapes = ["", ...of(verb, "kind")];
      const rows = sides.flatMap((side) => shapes.map((shape) => row(`${side} ${shape}`, [6, 7, 8].flatMap((size) => [85, 90, 100, 110].map((cm) => [`${size}F ${cm}`, `guide ${side} in ${shape === "" ? "" : `${shape} `}${size}F ${cm}cm`] as const)))));
      return [words("", [outOf("guide", known)]), even("French size and length, cm", rows)];
    }
    case "extension": return [words("", [outOf("extension", known), ...sides.map((side) => row(sideWords[side], kFrench.map((size) => [`${side} ${size}F`, `extension ${side} in ${size}F`])))])];
    case "wire": {
      const rows = (cm: number) => sides.flatMap((side) => of(verb, "class").map((kind) => row(`${side} ${kind}`, (kTips[kind] ?? []).map((load) => [`${load}`, `wire ${side} in ${kind} ${load}g ${cm}cm`]))));
      return [words("", [outOf("wire", known), row("long, retrograde", [300, 330, 335, 350].map((cm) => [`r ${cm} cm`, `wire r in ${cm}cm`]))]), even("tip load, g, of a wire of 190 cm", rows(190)), even("tip load, g, of a wire of 300 cm", rows(300))];
    }
    case "mc": {
      const rows = sides.flatMap((side) => ["", ...of(verb, "kind")].map((kind) => row(`${side} ${kind}`, [110, 120, 130, 135, 140, 145, 150, 155].map((cm) => [`${cm}`, `mc ${side} in ${kind === "" ? "" : `${kind} `}${cm}cm`]))));
      return [words("", [outOf("mc", known)]), even("length, cm", rows)];
    }
    case "anchor": return [even("diameter, mm", of(verb, "where").map((where) => row(where, [1.5, 2, 2.5, 3, 3.5].map((width) => [mm(width), `anchor a ${where} ${width}mm`]))))];
    case "trap": return [even("diameter, mm", sides.map((side) => row(side, [2, 2.5, 2.75, 3, 3.5].map((width) => [mm(width), `trap ${side} ${width}mm`]))))];
    case "snare": {
      const held = wiresOf(known, "r").map((each) => ` ${each.tag}`);
      const rows = [...held].reverse().concat("").flatMap((tag) => of(verb, "kind").flatMap((kind) => of(verb, "where").map((where) =>
        row(`${tag.trim()} ${kind} ${where}`, ["shaft", "tip"].flatMap((part) => [7, 10, 15, 18, 27, 30, 45].map((size) => [`${size} ${part}`, `snare a ${kind} ${size}mm ${where}${tag} ${part}`] as const))))));
      return [even("loop, mm, and what it holds", rows)];
    }
    case "externalise": {
      const tags = [...wiresOf(known, "r").map((each) => ` ${each.tag}`)].reverse().concat("");
      return [words("", tags.map((tag) => row(tag.trim() === "" ? "wire not said" : tag.trim(), ["", " snared"].flatMap((how) => [300, 330, 335, 350].map((cm) => [`${cm} cm${how}`, `externalise ${cm}cm${tag}${how}`] as const)))))];
    }
    case "tip-in": return [words("", [row("", known.inBody.filter((each) => /^[wm]/.test(each.tag)).map((each) => [each.tag, `tip-in ${each.tag}`]))])];
    case "aorta": return [words("", wiresOf(known, "r").map((each) => row(each.tag, ["", " views", " ultrasound"].map((proof) => [proof === "" ? "in the aorta" : proof.trim(), `aorta ${each.tag}${proof}`]))))];
    default: return [];
  }
}

function treatTables(verb: GrammarVerb, known: Known): readonly Table[] {
  switch (verb.verb) {
    case "balloon": return [
      even("size, mm", sizes("balloon", " a", kDiameters, [6, 8, 10, 12, 15, 20, 25, 30]), "pressure and time"),
      even("in a collateral, mm x 10, at how many atm", (known.channels.length === 0 ? ["c1"] : known.channels).flatMap((id) => [1.0, 1.25, 1.5].map((width) => row(`${id} ${mm(width)}`, [2, 3, 4, 6].map((atm) => [`${atm}`, `balloon r ${mm(width)}x10 ${atm}atm collateral ${id}`]))))),
      even("to stop a bleed, at low pressure for 10 min", [row("", [2.0, 2.5, 3.0, 3.5, 4.0].map((width) => [mm(width), `balloon a ${mm(width)}x15 4atm 600s`]))])];
    case "cut": return [even("size, mm", sizes("cut", " a", [2.0, 2.25, 2.5, 2.75, 3.0, 3.25, 3.5, 4.0], [6, 10, 13, 15]), "pressure and time")];
    case "stent": return [even("size, mm", sizes("stent", "", kStents, [8, 12, 15, 18, 20, 22, 24, 28, 30, 32, 33, 38, 40, 48]), "pressure")];
    case "cover": return [even("size, mm", sizes("cover", "", kStents, [12, 15, 16, 19, 20, 26]), "pressure")];
    case "debulk": return [words("diameter, mm", [["rotational", [1.25, 1.5, 1.75, 2]], ["orbital", [1.25]], ["laser", [0.9, 1.4, 1.7, 2]], ["lithotripsy", [2.5, 3]]].map(([kind, widths]) =>
      row(String(kind), [[`${kind}`, `debulk a ${kind}`] as const, ...(widths as number[]).map((width) => [mm(width), `debulk a ${kind} ${width}mm`] as const)])))];
    case "coil": return [words("", of(verb, "where").map((where) => row(where, [...[1, 2, 3, 4].map((count) => [`${count} coil${count === 1 ? "" : "s"}`, `coil coil ${where} ${count}`] as const), ...of(verb, "kind").filter((kind) => kind !== "coil").map((kind) => [kind, `coil ${kind} ${where}`] as const)])))];
    default: return [];
  }
}

function findTables(verb: GrammarVerb, known: Known): readonly Table[] {
  const wires = wiresOf(known);
  switch (verb.verb) {
    case "knuckle": return [words("", [row("", wires.map((each) => [each.tag, `knuckle ${each.side} ${each.tag}`]))])];
    case "reenter": return [words("", sides.map((side) => row(sideWords[side], of(verb, "by").flatMap((by) => of(verb, "outcome").map((went) => [`${by} ${went}`, `reenter ${side} ${by} ${went}`] as const)))))];
    case "join": return [even("balloon, mm", of(verb, "kind").map((kind) => row(kind, [1.5, 1.75, 2.0, 2.25, 2.5, 2.75, 3.0, 3.25, 3.5, 4.0].map((width) => [mm(width), `join ${kind} ${mm(width)}mm`]))))];
    case "collateral": {
      const ids = [...new Set([...known.channels, "c1", "c2"])].sort();
      return [words("", ids.map((id) => row(id, [...of(verb, "kind").map((kind) => [`${kind} entered`, `collateral ${id} ${kind} entered`] as const), ...of(verb, "state").filter((state) => state !== "entered").map((state) => [state, `collateral ${id} ${state}`] as const)])))];
    }
    case "space": return [words("", [...wires].reverse().flatMap((each) => of(verb, "proof").map((proof) => row(`${each.tag} ${proof}`, of(verb, "space").map((space) => [space, `space ${each.side} ${each.tag} ${space} ${proof}`])))))];
    case "ivus": return [words("", sides.map((side) => row(sideWords[side], of(verb, "move").map((move) => [move, `ivus ${side} ${move}`]))))];
    case "inject": return [words("", [row("", [["both", "inject both"], ...sides.flatMap((side) => of(verb, "by").map((by) => [`${side} ${by}`, `inject ${side} ${by}`] as const))])])];
    default: return [];
  }
}

function attemptTables(verb: GrammarVerb, known: Known): readonly Table[] {
  const why = (each: string): string => (each === "" ? "no reason said" : each);
  switch (verb.verb) {
    case "start": return [words("", known.channels.map((id) => row(id, ["RW", "RDR"].map((way) => [`${way} ${id}`, `start ${way} ${id}`]))))];
    case "switch": return [even("to which way, and why", [...of(verb, "reason"), ""].map((reason) => row(why(reason), of(verb, "strategy").filter((way) => way !== known.running).map((way) => [way, `switch ${way}${reason === "" ? "" : ` ${reason}`}`])))) ];
    case "stopped": return [words("why", [row("", [...of(verb, "reason"), ""].map((reason) => [why(reason), `stopped${reason === "" ? "" : ` ${reason}`}`]))])];
    case "crossed": return [words("", known.channels.map((id) => row(id, [["wire", `crossed collateral wire ${id}`], ["catheter", `crossed collateral catheter ${id}`]])))];
    case "distal": return [words("", wiresOf(known).map((each) => row(each.tag, of(verb, "by").map((by) => [by, `distal proven ${by} ${each.tag}`]))))];
    case "result": return [even("failed: why, and what next", of(verb, "reason").map((reason) => row(reason, of(verb, "decision").map((next) => [next, `result failed ${reason} ${next}`]))))];
    default: return [];
  }
}

function otherTables(verb: GrammarVerb): readonly Table[] {
  const every = (field: string, side = ""): readonly Table[] => [words("", [row("", of(verb, field).map((each) => [each, `${verb.verb}${side} ${each}`]))])];
  switch (verb.verb) {
    case "timeout": return [words("version of the plan that it freezes", [row("", upTo(1, 6).map((version) => [`plan ${version}`, `timeout plan:${version}`]))])];
    case "echo": return [even("fluid, mm", [row("trivial", upTo(1, 5).map((deep) => [`${deep}`, `echo trivial ${deep}mm`])), ...[[1, 12], [13, 24]].map(([from, to]) => row("effusion", upTo(from ?? 1, to ?? 1).map((deep) => [`${deep}`, `echo effusion ${deep}mm`]))),
      ...[[1, 12], [13, 24]].map(([from, to]) => row("loculated", upTo(from ?? 1, to ?? 1).map((deep) => [`${deep}`, `echo effusion ${deep}mm loculated`])))])];
    case "perforation": return of(verb, "site").map((site) => even(`${site}: class, and by what`, ["", ...of(verb, "class")].map((grade) => row(grade === "" ? "no class" : grade, ["", ...of(verb, "cause")].map((cause) =>
      [cause === "" ? "?" : cause, ["perforation", grade, site, cause].filter((part) => part !== "").join(" ")])))));
    case "stuck": return [words("", of(verb, "kind").map((kind) => row(kind, ["", ...of(verb, "state")].map((state) => [state === "" ? "stuck" : state, `stuck ${kind}${state === "" ? "" : ` ${state}`}`]))))];
    case "flow": return [even("of a branch", kBranches.map((name) => row(name, [0, 1, 2, 3].map((grade) => [`${grade}`, `flow ${grade} ${name}`]))))];
    case "branch": return [words("", kBranches.map((name) => row(name, of(verb, "state").map((state) => [state, `branch ${state} ${name}`]))))];
    case "followup": return [even("due in days", ["visit", "skin", "creatinine"].map((kind) => row(kind, [1, 2, 3, 7, 14, 21, 28, 30, 365].map((days) => [`${days}`, `followup ${kind} due ${days}d`])))),
      even("visit done, after days, and what was found", of(verb, "outcome").map((found) => row(found, [1, 30, 180, 365].map((days) => [`${days}`, `followup visit done ${days}d ${found}`]))))];
    case "call": return every("who");
    case "drug": return every("drug");
    case "rhythm": case "trouble": return every("kind");
    case "dissection": case "thrombus": return every("site");
    default: return [];
  }
}

export function tablesOf(verb: GrammarVerb, known: Known): readonly Table[] {
  const found = [...(verb.verb === "access" ? accessTables(verb) : []), ...(verb.verb === "sheath" || verb.verb === "closure" ? sheathTables(verb) : []), ...attemptTables(verb, known), ...kitTables(verb, known), ...treatTables(verb, known), ...findTables(verb, known), ...otherTables(verb)];
  return found.filter((table) => table.rows.some((each) => each.cells.length > 0));
}

// What a slide from a cell adds: up for pressure, sideways for how long. `across` and `up` in px from where it began.
const kPxPerAtm = 8;
const kPxPerSecond = 6;
const kDead = 16; // px in which a touch stays a touch
export function slid(line: string, slides: Table["slides"], across: number, up: number): string {
  if (slides === "") return line;
  const beyond = (px: number): number => Math.max(0, Math.abs(px) - kDead);
  const atm = Math.min(30, Math.round(beyond(up) / kPxPerAtm));
  const seconds = slides === "pressure and time" ? Math.min(120, Math.round(beyond(across) / kPxPerSecond)) : 0;
  return `${line}${atm > 0 ? ` ${atm}atm` : ""}${seconds > 0 ? ` ${seconds}s` : ""}`;
}
