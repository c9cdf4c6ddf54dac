// SPDX-License-Identifier: Apache-2.0
// A route as the page asks it.
import { describe, expect, it } from "vitest";
import { exchangeBody, kWays, reachBody, rulerOf, typedCm } from "../../src/kit/reach-ask";
import type { ShelfDevice } from "../../src/kit/shapes";

const device = (name: string, kind: string, usable: number): ShelfDevice => ({
  id: name, name, class: kind, title: kind, label: "", lumen_mm: null, od_prox_mm: null, od_dist_mm: null, profile_mm: null, usable_cm: usable, note: "",
  count: 1, expired: 0, used: 0, short_by: 0, stock: [],
});
const shelf = [device("M 150", "microcatheter", 150), device("W 190", "guidewire", 190)];
const septal = kWays.find((each) => each.words === "right coronary, by a septal channel");

describe("A route that is asked", () => {
  it("leaves what is not typed as usual, and says what was seen in one view alone", () => {
    if (!septal) throw new Error("no such way");
    const body = reachBody(septal, "100", [{ cm: "1", oneView: false }, { cm: "", oneView: true }, { cm: "6,5", oneView: true }], ["m 150", "W 190"], shelf, "90");
    expect(body).toMatchObject({
      guide_cm: 100, into_other_guide_cm: 3, devices: ["m 150", "W 190"], externalise: { microcatheter: "M 150", antegrade_guide_cm: 90, wires: ["W 190"] },
      segments: [{ name: "left main", length_cm: 1 }, "LAD to septal", { name: "septal channel", length_cm: 6.5, from: "one view" }, "posterior descending", "RCA"],
    });
  });
  it("asks no wire to be brought out on a way from the front", () => {
    const front = kWays[0];
    if (!front) throw new Error("no way");
    expect(reachBody(front, "GC-7A 100", [], ["M 150", "W 190"], shelf, "100")).toEqual({ guide: "GC-7A 100", segments: ["RCA", "posterior descending"], devices: ["M 150", "W 190"] });
  });
  it("takes the microcatheter off the first wire where both are there", () => {
    expect(exchangeBody(131, "100", ["M 150", "W 190"], shelf)).toEqual({ guide_cm: 100, exchange: { wire: "W 190", microcatheter: "M 150", wire_at_cm: 136, microcatheter_at_cm: 131 } });
    expect(exchangeBody(131, "100", ["M 150"], shelf)).toBeNull();
  });
  it("draws each stretch where it lies, to the end of the way", () => {
    const front = kWays[0];
    if (!front) throw new Error("no way");
    const stretch = (name: string, value: number) => ({ name, length_cm: { value, sd: 0 }, typical: false });
    const drawn = rulerOf({ need_cm: { value: 122, sd: 1 }, route: [stretch("valve", 9), stretch("guide", 100), stretch("RCA", 13)], devices: [{ name: "M", usable_cm: 135, need_cm: 122, reserve_cm: 13, sd_cm: 1, verdict: "ok", odds_reaches: 1 }],
      runs_out_first: null, externalise: null, exchange: null, caution: "" }, front);
    expect(drawn?.spans.map((each) => each.to)).toEqual([9, 109, 122]);
    expect(drawn?.end).toBe(122);
    expect(drawn?.whole).toBe(139);
  });
  it("reads a number as it is typed, and nothing else", () => {
    expect(typedCm(" 6,5 ")).toBe(6.5);
    for (const no of ["", "x", "-3", "0"]) expect(typedCm(no)).toBeNull();
  });
});
