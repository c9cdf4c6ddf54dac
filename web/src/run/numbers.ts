// SPDX-License-Identifier: Apache-2.0
// Boards of numbers: each whole value that a verb usually takes stands there to be touched once, ten or twenty a row, so that
// an exact figure costs no more than a usual one. Nothing but sums of the page: what stands is read by the engine.
export interface Counted {
  readonly kerma: number | null; // Gy, Gy·cm², min, as logged last; null: nothing yet
  readonly area: number | null;
  readonly fluoro: number | null;
}
export interface NumberCell {
  readonly shows: string;
  readonly line: string;
}
export interface NumberBoard {
  readonly says: string;
  readonly rows: readonly (readonly NumberCell[])[];
}

const kAcross = 20;
function rowsOf(cells: readonly NumberCell[], across = kAcross): readonly (readonly NumberCell[])[] {
  const rows: NumberCell[][] = [];
  for (let at = 0; at < cells.length; at += across) rows.push(cells.slice(at, at + across));
  return rows;
}
const run = (from: number, to: number, step = 1): readonly number[] => Array.from({ length: Math.floor((to - from) / step + 0.5) + 1 }, (_, i) => from + i * step);
const plain = (verb: string, from: number, to: number, says: string, unit = "", step = 1): NumberBoard =>
  ({ says, rows: rowsOf(run(from, to, step).map((each) => ({ shows: String(each), line: `${verb} ${each}${unit}` }))) });

const ending = (verb: string, values: readonly number[], says: string, end: string): NumberBoard =>
  ({ says, rows: rowsOf(values.map((each) => ({ shows: String(each), line: `${verb} ${each}${end}` }))) });

// A counter that only rises: the next values above what it said last.
function rising(verb: string, last: number | null, step: number, many: number, decimals: number, unit: string, says: string): NumberBoard {
  const from = last ?? 0;
  const cells = run(1, many).map((each) => ({ shows: (from + each * step).toFixed(decimals), line: `${verb} ${(from + each * step).toFixed(decimals)}${unit}` }));
  return { says, rows: rowsOf(cells) };
}

// Of the line that is typed; none where the verb's numbers are not of that kind, or one stands already.
export function numberBoards(verb: string, typed: string, counted: Counted): readonly NumberBoard[] {
  const rest = typed.trim().split(/\s+/).slice(1).join(" ");
  if (verb === "bp" && /^\d+\/?$/.test(rest)) {
    const over = rest.replace("/", "");
    return [{ says: `diastolic, below ${over}`, rows: rowsOf(run(30, Math.min(109, Number(over))).map((each) => ({ shows: String(each), line: `bp ${over}/${each}` }))) }];
  }
  if (rest.replace(/[+=]/g, "") !== "") return [];
  switch (verb) {
    case "act": return [plain("act", 200, 399, "ACT, s"), plain("act", 400, 499, "above"), plain("act", 100, 199, "below")];
    case "hep": return [plain("hep", 500, 10000, "bolus, units", "", 500), ending("hep", run(500, 5000, 500), "flush, units", " flush"), ending("hep", run(500, 2500, 100), "drip, units an hour", "IU/h drip")];
    case "contrast": return [{ says: "mL more", rows: rowsOf(run(1, 60).map((each) => ({ shows: `+${each}`, line: `contrast +${each}` }))) }];
    case "ak": return [rising("ak", counted.kerma, 0.01, 100, 2, "Gy", "the console's next reading, Gy")];
    case "dap": return [rising("dap", counted.area === null ? null : Math.round(counted.area), 1, 200, 0, "Gycm2", "the console's next reading, Gy·cm²")];
    case "fluoro": return [rising("fluoro", counted.fluoro === null ? null : Math.round(counted.fluoro), 1, 60, 0, "min", "the console's next reading, min")];
    case "bp": return [plain("hr", 40, 139, "heart rate, a minute"), plain("spo2", 80, 100, "oxygen saturation, %", "%"), plain("bp", 60, 219, "systolic alone; then the diastolic", "")];
    case "hr": return [plain("hr", 40, 139, "beats a minute")];
    case "spo2": return [plain("spo2", 80, 100, "%", "%")];
    case "pain": return [plain("pain", 0, 10, "0 to 10")];
    case "protamine": return [plain("protamine", 5, 50, "mg", "mg", 5)];
    case "drain": return [plain("drain", 20, 600, "mL", "mL", 20)];
    case "fluid": return [plain("fluid", 50, 1000, "mL", "mL", 50)];
    case "residual": return [plain("residual", 0, 100, "%", "%", 5)];
    case "lab": return [
      { says: "creatinine, mg/dL", rows: rowsOf(run(4, 43).map((each) => ({ shows: (each / 10).toFixed(1), line: `lab ${(each / 10).toFixed(1)}mg/dL` }))) },
      { says: "haemoglobin, g/dL", rows: rowsOf(run(60, 179, 5).map((each) => ({ shows: (each / 10).toFixed(1), line: `lab ${(each / 10).toFixed(1)}g/dL` }))) },
      { says: "troponin, times the reference limit", rows: rowsOf([1, 2, 5, 10, 20, 35, 50, 70, 100, 200].map((each) => ({ shows: String(each), line: `lab ${each}xURL` }))) },
      { says: "CK-MB, times the upper limit", rows: rowsOf([1, 2, 3, 5, 10, 15, 20].map((each) => ({ shows: String(each), line: `lab ${each}xULN` }))) }];
    default: return [];
  }
}
