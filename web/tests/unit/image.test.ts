// SPDX-License-Identifier: Apache-2.0
import { describe, expect, it } from "vitest";
import { sparkPath } from "../../src/appraise/spark";
import { advance, frameAt, runMs, step } from "../../src/image/cine";
import { strokes } from "../../src/image/drawing";
import { chunkFrames, openFrames, wanted } from "../../src/image/frames";
import * as geometry from "../../src/image/geometry";
import { brightness, drag } from "../../src/image/window";
import { imagePoint, screenPoint } from "../../src/wire/units";

describe("The picture's place", () => {
  it("takes a point to the screen and back", () => {
    const placement = { scale: 1.7, left: -33, top: 12 };
    const back = geometry.toImage(geometry.toScreen(imagePoint(100.25, 7), placement), placement);
    expect(back.x).toBeCloseTo(100.25, 12);
    expect(back.y).toBeCloseTo(7, 12);
  });
  it("puts the centre of the first pixel half a pixel inside the picture", () =>
    expect(geometry.toScreen(imagePoint(0, 0), { scale: 2, left: 10, top: 20 })).toEqual(screenPoint(11, 21)));
  it("keeps the point under the pointer while zooming", () => {
    const before = geometry.fit({ width: 512, height: 512 }, { width: 900, height: 700 });
    const at = screenPoint(321, 99);
    const held = geometry.toImage(at, before);
    const after = geometry.toImage(at, geometry.zoomAt(before, at, 3.3));
    expect(after.x).toBeCloseTo(held.x, 9);
    expect(after.y).toBeCloseTo(held.y, 9);
  });
  it("never loses the picture out of the pane", () => {
    const pane = { width: 600, height: 400 };
    const far = geometry.keepInSight({ scale: 1, left: 9999, top: -9999 }, { width: 512, height: 512 }, pane);
    expect(far.left).toBeLessThan(pane.width);
    expect(far.top + 512).toBeGreaterThan(0);
  });
});

describe("The grey window", () => {
  // DICOM PS3.3 C.11.2.1.2.1: with center 2048 and width 4096, 0 is black, 4095 is white.
  it("follows the linear function of the standard", () => {
    const window = { center: 2048, width: 4096 };
    expect(brightness(0, window, false)).toBe(0);
    expect(brightness(4095, window, false)).toBe(1);
    expect(brightness(2047.5, window, false)).toBeCloseTo(0.5, 12);
    expect(brightness(0, window, true)).toBe(1);
  });
  it("stays finite at the smallest width", () => expect(Number.isFinite(brightness(5, { center: 5, width: 1 }, false))).toBe(true));
  it("widens to the right and darkens downwards", () => {
    const moved = drag({ center: 100, width: 50 }, 10, 10, 256, 512);
    expect(moved.width).toBeGreaterThan(50);
    expect(brightness(100, moved, false)).toBeLessThan(brightness(100, { center: 100, width: 50 }, false));
  });
});

describe("The cine", () => {
  const even = Array.from({ length: 30 }, (_, index) => index * 40);
  it("shows the frame whose time has come", () => {
    expect(frameAt(even, 0)).toBe(0);
    expect(frameAt(even, 79.9)).toBe(1);
    expect(frameAt(even, 1e9)).toBe(29);
    expect(frameAt([0, 10, 500], 400)).toBe(1); // uneven times
    expect(frameAt([], 5)).toBe(0);
  });
  it("loops or ends", () => {
    expect(runMs(even)).toBe(1200);
    expect(advance(even, 1190, 20, 1, true)).toEqual({ ms: 10, ended: false });
    expect(advance(even, 1190, 20, 1, false).ended).toBe(true);
    expect(step(29, 1, 30, true)).toBe(0);
    expect(step(0, -1, 30, false)).toBe(0);
  });
});

describe("The frame store", () => {
  const size = { rows: 2, columns: 2, samples: 1, bits: 8 };
  it("asks for at most sixteen frames, fewer of large ones", () => {
    expect(chunkFrames(size)).toBe(16);
    expect(chunkFrames({ rows: 1024, columns: 1024, samples: 1, bits: 16 })).toBe(3);
    expect(chunkFrames({ rows: 9000, columns: 9000, samples: 1, bits: 16 })).toBe(1);
  });
  it("wants what lies ahead, round the end", () => {
    expect(wanted(0, 1, 5, 16)).toEqual([0, 1, 2, 3]);
    expect(wanted(70, 1, 5, 16)).toEqual([4, 0, 1, 2]);
    expect(wanted(0, -1, 2, 16)).toEqual([0, 1]);
  });
  it("gives the frame asked for, fetches no chunk twice, keeps within its bound", async () => {
    const asked: string[] = [];
    const store = openFrames(size, 200, 16 * 4 * 4, (first, last) => {
      asked.push(`${first}-${last}`);
      const body = new Uint8Array((last - first + 1) * 4);
      body.forEach((_, index) => { body[index] = first + Math.floor(index / 4); });
      return Promise.resolve(body.buffer);
    }, { arrived: () => undefined, failed: (error) => { throw error; } });
    store.want(20, 1);
    await new Promise((done) => setTimeout(done, 10));
    expect(store.get(20)?.[0]).toBe(20);
    expect(asked).toEqual(["16-31", "32-47", "48-63", "64-79"]);
    store.want(20, 1);
    await new Promise((done) => setTimeout(done, 10));
    expect(asked.length).toBe(4);
    store.want(150, 1);
    await new Promise((done) => setTimeout(done, 10));
    expect(store.get(150)?.[0]).toBe(150);
    expect(store.get(20)).toBeNull(); // dropped: four chunks fit
  });
  it("refuses an answer of the wrong size with a sentence", async () => {
    let why = "";
    const store = openFrames(size, 4, 1e6, () => Promise.resolve(new ArrayBuffer(3)), { arrived: () => undefined, failed: (error) => { why = String(error); } });
    store.want(0, 1);
    await new Promise((done) => setTimeout(done, 5));
    expect(why).toContain("The frames are 3 bytes, 16 were expected");
  });
});

describe("What lies over the picture", () => {
  const placement = { scale: 2, left: 0, top: 0 };
  it("is one line, a named handle a point, and the label at the last", () => {
    const list = strokes({ ink: "ruler", points: [imagePoint(0, 0), imagePoint(10, 5)], crosshair: null, ghost: [], label: "19 mm" }, placement);
    expect(list).toEqual([
      { kind: "line", ink: "ruler", points: [screenPoint(1, 1), screenPoint(21, 11)] },
      { kind: "handle", index: 0, at: screenPoint(1, 1), name: "Point 1 of 2, column 0, row 0" },
      { kind: "handle", index: 1, at: screenPoint(21, 11), name: "Point 2 of 2, column 10, row 5" },
      { kind: "label", at: screenPoint(21, 11), text: "19 mm" },
    ]);
  });
  it("is nothing without points", () => expect(strokes({ ink: "ruler", points: [], crosshair: null, ghost: [], label: "" }, placement)).toEqual([]));
});

describe("The filling line", () => {
  it("stays in its box, also when flat", () => {
    expect(sparkPath([1, 1, 1], 100, 20)).toBe("M0.0 10.0L50.0 10.0L100.0 10.0");
    expect(sparkPath([0, 1], 100, 20)).toBe("M0.0 19.0L100.0 1.0");
    expect(sparkPath([1], 100, 20)).toBe("");
  });
});
