// SPDX-License-Identifier: Apache-2.0
// What the board and the wall say, as plain text.
import { describe, expect, it, vi } from "vitest";
import { age, hours, inOrder, type Board, type Caution } from "../../src/run/board";

vi.stubGlobal("localStorage", { getItem: () => null, setItem: () => undefined }); // these lie beside what a browser has
const { rehearsalIn, rehearsalQuery, rehearsedAt, waitFor } = await import("../../src/run/rehearsal");
const { kMostWords, tiles } = await import("../../src/wall/words");

const at = (minutes: number): string => new Date(Date.UTC(2026, 8, 17, 6, 0) + minutes * 60_000).toISOString();
const caution = (id: string, level: Caution["level"], since: number, accepted = false): Caution =>
  ({ id, level, says: id, short: `${id} one two three four five six seven eight nine`, why: "", clears: "", source: "", since: at(since), accepted, canAccept: true });
const board: Board = {
  seq: 1, now: at(60), begun: at(0), ended: null, attempt: { number: 1, strategy: "AW", name: "antegrade wiring", since: at(20) }, phase: null,
  gauges: [], counted: { kerma: null, area: null, fluoro: null }, clotting: null, cautions: [caution("S-02", "info", 1), caution("S-03", "stop", 5), caution("S-01", "stop", 3, true), caution("S-04", "caution", 2)],
  lanes: [{ side: "antegrade", devices: [{ tag: "w1", words: "wire", space: "outside plaque", proof: "two views", grave: true, note: "" }] }, { side: "retrograde", devices: [] }],
  notWatched: [], changed: [], gates: [], drills: [],
};

describe("The board's words", () => {
  it("say hours and minutes without a fraction", () => {
    expect(hours(60.147)).toBe("1:00");
    expect(hours(125.99)).toBe("2:05");
    expect(age(at(0), Date.parse(at(59.9)))).toBe("59 min ago");
    expect(age(at(0), Date.parse(at(84)))).toBe("1:24 h ago");
    expect(age(at(0), Date.parse(at(2 * 1440 - 1)))).toBe("47:59 h ago");
    expect(age(at(0), Date.parse(at(69.5 * 1440)))).toBe("69 d ago");
  });
  it("put the gravest caution first, then the longest standing, accepted ones last", () => {
    expect(inOrder(board.cautions).map((each) => each.id)).toEqual(["S-03", "S-04", "S-02", "S-01"]);
  });
});

describe("The wall", () => {
  it("says six things, the gravest caution in at most eight words with the count of the others", () => {
    const shown = tiles(board, Date.parse(at(60)));
    expect(shown.map((each) => each.id)).toEqual(["phase", "act", "contrast", "kerma", "body", "caution"]);
    const said = shown[5]?.lines.map((each) => each.text) ?? [];
    expect(said[0]?.split(" ").length).toBe(kMostWords);
    expect(said[1]).toBe("+2 more");
    expect(shown[4]?.lines[0]).toEqual({ text: "a: w1 outside plaque", grave: true });
  });
  it("says a dash where nothing was logged, never a nought", () => {
    expect(tiles(board, Date.parse(at(60))).filter((each) => each.figure === "—").map((each) => each.id)).toEqual(["act", "contrast", "kerma"]);
  });
});

describe("A rehearsal", () => {
  it("keeps step on a second screen by its address", () => {
    const running = { from: Date.parse(at(0)), began: 1_000, rate: 60 };
    expect(rehearsalIn(rehearsalQuery(running))).toEqual(running);
    expect(rehearsalIn("from=1&began=x&rate=2")).toBeNull();
    expect(rehearsedAt(running, 61_000)).toBe(Date.parse(at(60)));
  });
  it("asks the engine again when what it said ends or the next entry comes, counted by the rate", () => {
    expect(waitFor(0, 60, 60_000, [30_000, 90_000], true)).toBe(520);
    expect(waitFor(0, 1, 60_000, [30_000], false)).toBe(60_020);
    expect(waitFor(0, 0, 60_000, [], true)).toBeNull();
    expect(waitFor(0, 1, null, [], false)).toBeNull();
  });
});
