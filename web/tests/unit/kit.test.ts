// SPDX-License-Identifier: Apache-2.0
import { describe, expect, it } from "vitest";
import { discPicture, kPerMm, ownersOf } from "../../src/kit/discs";
import { rulerPicture } from "../../src/kit/ruler";
import { trayAnswer } from "../../src/kit/shapes";
import { fitWords, reserveWords, roundingWords } from "../../src/kit/words";

const worst = [{ device: "IV", section: "shaft and loose wire", moving: false }, { device: "MC", section: "proximal shaft", moving: true }];
const places = [{ x_mm: -0.4, y_mm: 0.2, diameter_mm: 1.06 }, { x_mm: 0.1, y_mm: -0.8, diameter_mm: 0.36 }, { x_mm: 0.5, y_mm: 0, diameter_mm: 0.93 }];

describe("A fit disc", () => {
  it("gives a section with a loose wire two circles, the wire without a number", () => {
    expect(ownersOf(worst)).toEqual([{ device: 0, wire: false }, { device: 0, wire: true }, { device: 1, wire: false }]);
    expect(discPicture(2.057, 1.99, places, worst).circles.map((each) => each.mark)).toEqual(["1", "", "2"]);
  });
  it("is to scale, with y upwards, and shows the lumen that would be needed only where it does not pass", () => {
    const drawn = discPicture(2.057, 1.99, places, worst);
    expect(drawn.lumen).toBeCloseTo((2.057 / 2) * kPerMm, 9);
    expect(drawn.circles[0]?.r).toBeCloseTo((1.06 / 2) * kPerMm, 9);
    expect(drawn.circles[0]?.y).toBeLessThan(drawn.size / 2);
    expect(drawn.held).toBe(0);
    expect(discPicture(1.8, 1.99, places, worst).held).toBeCloseTo((1.99 / 2) * kPerMm, 9);
  });
});

describe("A reach ruler", () => {
  const reach = { reserve_cm: 9, sd_cm: 1.5, verdict: "ok", odds_reaches: 1 };
  const device = { name: "MC-A 150", class: "microcatheter", label: "", usable: 1, expired: 0, usable_cm: 150, count: 1 };
  const tray = trayAnswer({
    seq: 3, strategies: ["RW"], invented: true, today: "2026-11-25", vessel_mm: null,
    routes: { valve: [{ name: "valve", length_cm: { value: 9, sd: 1 }, typical: true }], antegrade: [],
      retrograde: [{ name: "septal channel", length_cm: { value: 29, sd: 1 }, typical: false }] },
    guides: [{ side: "retrograde", guide: { name: "G", label: "", lumen_mm: 1.8, usable_cm: 100 }, sheath: null, verdict: "fits", groups: [], conflicts: [] }],
    needs: [{ id: "mc-retro", what: "long microcatheter", why: "", side: "retrograde", strategies: ["RW"], count: 1, state: "ready", remark: "", pieces: [device], candidates: [], reach }],
    bailout: [], by_eye: [], conflicts: [], picks: [], caution: "",
  }, "");
  it("lays spans end to end and devices from the valve", () => {
    const drawn = rulerPicture("retrograde", tray.routes.valve, tray.guides[0], tray.routes.retrograde, tray.needs);
    expect(drawn?.end).toBe(9 + 100 + 29 + 3);
    expect(drawn?.spans.map((each) => each.from)).toEqual([0, 9, 109, 138]);
    expect(drawn?.devices).toEqual([{ name: "MC-A 150", length: 150, reserve: 9, sd: 1.5, verdict: "ok", odds: 1 }]);
    expect(drawn?.whole).toBe(154);
  });
  it("is not drawn where the route or the guide's length is unknown", () => {
    expect(rulerPicture("antegrade", tray.routes.valve, undefined, tray.routes.retrograde, tray.needs)).toBeNull();
    expect(rulerPicture("retrograde", tray.routes.valve, tray.guides[0], [], tray.needs)).toBeNull();
  });
});

describe("Words of the kit", () => {
  it("say by how much", () => {
    expect(fitWords("tight", 0.067, false)).toBe("tight, 0.07 mm to spare");
    expect(fitWords("no", -0.187, false)).toBe("no, by 0.19 mm");
    expect(fitWords("tight", -0.001, true)).toBe("too close to call");
    expect(fitWords("unknown", null, false)).toBe("sizes not known");
    expect(reserveWords(9, 1.5)).toBe("+9 ± 2 cm");
    expect(reserveWords(-6, 0)).toBe("−6 cm");
    expect(roundingWords(false, 1, 1)).toBe("");
  });
});
