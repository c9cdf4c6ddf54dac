// SPDX-License-Identifier: Apache-2.0
import { describe, expect, it } from "vitest";
import { cusumPicture, funnelPicture, learningPicture, rowsPicture, storyPicture, ticks, upward, type Sheet } from "../../src/practice/draw";
import { outboxWords, signalWords } from "../../src/practice/words";
import { cellOf, csvOf } from "../../src/practice/table";

const sheet: Sheet = { width: 640, height: 260 };
const series = {
  judged: 3, at: [0, 1, 2],
  cases: ["a", "b", "c"], story: [0.1, -0.8, -0.7], story_sd: [0.3, 0.4, 0.5], worse: [0, 0.7, 3], better: [0.1, 0, 0],
  worse_threshold: { h: 2.6, run_length_cases: 500 }, better_threshold: { h: 2.4, run_length_cases: 500 }, worse_signals: [2], better_signals: [],
  false_alarm_in_50: 0.06, seen_in_50: 0.5,
};

describe("The audit's pictures", () => {
  it("put zero on its line and a higher value higher up", () => {
    const y = upward(sheet, -2, 2);
    expect(y(1)).toBeLessThan(y(0));
    const zero = storyPicture(sheet, series).find((mark) => mark.look === "zero")?.d ?? "";
    expect(Number(zero.match(/M46 ([\d.]+)/)?.[1])).toBeCloseTo(y(0), 0);  // its range is symmetric as well
  });
  it("mark each signal where the sum crossed", () => {
    const dots = cusumPicture(sheet, series).filter((mark) => mark.kind === "dot");
    expect(dots).toHaveLength(1);
    const limits = cusumPicture(sheet, series).filter((mark) => mark.look === "limit");
    expect(limits).toHaveLength(2);
    expect(dots[0]?.y).toBeLessThan(Number(limits[0]?.d?.match(/M46 ([\d.]+)/)?.[1]));
  });
  it("draw a thinned series where its cases stand, with every signal", () => {
    const thin = { ...series, judged: 900, at: [299, 599, 899], worse_signals: [899] };
    const dots = cusumPicture(sheet, thin).filter((mark) => mark.kind === "dot");
    expect(dots).toHaveLength(1);
    expect(dots[0]?.x).toBeCloseTo(640 - 12, 0);
    expect(storyPicture(sheet, thin).find((mark) => mark.look === "own")?.d).toMatch(/^M46.0 /);
  });
  it("cut off an endless interval and keep one stretch readable", () => {
    const marks = learningPicture(sheet, [{ first: 1, last: 20, failures: 20, expected: 2, ratio: 10, low: 5, high: null }], []);
    for (const mark of marks) expect(mark.d ?? "").not.toMatch(/NaN|Infinity|-\d/);
    expect(learningPicture(sheet, [], []).filter((mark) => mark.kind === "dot")).toHaveLength(0);
  });
  it("give each row its own line in the order in which they came", () => {
    const rows = ["b", "a"].map((name, i) => ({ name, value: 0.2 + i / 2, low: 0.1, high: 0.9 }));
    const dots = rowsPicture(rows, 1, String).filter((mark) => mark.kind === "dot");
    expect(dots.map((mark) => mark.y)).toEqual([20, 46]);
    expect(Number(dots[1]?.x)).toBeGreaterThan(Number(dots[0]?.x));
  });
  it("name a few signals, and of many say how many chance alone would give", () => {
    expect(signalWords({ ...series, worse_signals: [] })).toMatch(/^No signal/);
    expect(signalWords(series)).toMatch(/^A signal at case 3: worth a review/);
    const many = signalWords({ ...series, judged: 100000, worse_signals: Array.from({ length: 199 }, (_, i) => 500 * i) });
    expect(many).toMatch(/^199 signals in 100000 cases, where chance alone would give about 200; the last at case 97001, .*case 99001: worth/);
  });
  it("keep the order of the units as it came", () => {
    const unit = (name: string, ratio: number) => ({ name, cases: 30, failures: 4, expected: 4, ratio, limits: [0, 0.2, 2, 2.6], widened: null });
    const words = funnelPicture(sheet, [unit("2024", 1.9), unit("2025", 0.4)]).filter((mark) => mark.look === "said").map((mark) => mark.text);
    expect(words).toEqual(["2024", "2025"]);
  });
  it("have few round ticks for any range", () => {
    for (const [low, high] of [[0, 1], [-7.3, 12.8], [0, 100000], [0.01, 0.02]] as const) {
      const found = ticks(low, high, 6);
      expect(found.length).toBeGreaterThan(1);
      expect(found.length).toBeLessThanOrEqual(8);
      for (const tick of found) expect(tick).toBeGreaterThanOrEqual(low - 1e-6);
    }
  });
});

describe("A table as CSV", () => {
  it("quotes what RFC 4180 quotes and doubles quotation marks", () => {
    expect(csvOf(["a", "b"], [["x,y", 'say "no"']])).toBe('a,b\r\n"x,y","say ""no"""');
  });
  it("never lets a spreadsheet take a cell for a formula", () => {
    expect(cellOf("=1+1")).toBe("'=1+1");
    expect(cellOf("-1.5")).toBe("-1.5");
  });
});

describe("The sending of rows", () => {
  const still = { on: true, to: "postgresql://db.example/cto", lab: "lab-a", waiting: 0, sent: 3, last_sent: "2026-11-25T09:00:00.000Z", failing_since: null, next_try: null, why: "" };
  it("says that all is sent, what waits, and since when nobody answers", () => {
    expect(outboxWords(still)).toMatch(/^Everything is sent; last 25 Nov/);
    expect(outboxWords({ ...still, waiting: 1 })).toBe("1 row waits to be sent.");
    expect(outboxWords({ ...still, waiting: 4, failing_since: "2026-11-25T10:40:00.000Z", next_try: "2026-11-25T10:50:00.000Z", why: "it does not answer" })).toMatch(/4 rows wait in this lab and nothing is lost.*it does not answer/);
  });
});
