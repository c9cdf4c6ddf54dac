// SPDX-License-Identifier: Apache-2.0
import { expect, test } from "vitest";
import { learningPicture } from "../../src/practice/learning-draw";
import type { LearnedStrategy } from "../../src/practice/learning-shape";
import { flatWords } from "../../src/ways/picture";

const figure = { published: 0.5, own: 0.6, low: 0.4, high: 0.8, share_own: 0.3 };
const found: LearnedStrategy = {
  id: "AW", words: "antegrade wiring", attempts: 12, crossed: 5, complications: 0, stopped: 7, planned: 1, minutes: 200, groups: [], complications_per_hour: figure, ceiling_told: false,
  seen: [{ minutes: 10, at_risk: 12, crossed_by: 0.25, crossed_sd: 0.12, complicated_by: 0 }, { minutes: 120, at_risk: 6, crossed_by: 0.5, crossed_sd: 0.2, complicated_by: 0 }],
  every_min: 5, published_by: [0, 0.1, 0.2], own_by: [0, 0.15, 0.3],
};

test("what was seen is drawn as steps inside the ninety minutes of the sheet, its whiskers inside 0 and 1", () => {
  const marks = learningPicture({ width: 640, height: 260 }, found);
  expect(marks.filter((mark) => mark.look === "own").length).toBe(1);
  const whiskers = marks.find((mark) => mark.look === "whisker")?.d ?? "";
  expect(whiskers.match(/M/g)?.length).toBe(1);
  expect(marks.some((mark) => mark.look === "published thin") && marks.some((mark) => mark.look === "own dashed")).toBe(true);
});

test("without attempts only the two curves are drawn", () => {
  expect(learningPicture({ width: 640, height: 260 }, { ...found, seen: [] }).some((mark) => mark.look === "whisker")).toBe(false);
});

test("the flat minutes are said as a stretch from the present minute, never one minute alone", () => {
  expect(flatWords("AW", { from: 5, to: 20 }, 0)).toBe("Leaving AW makes no odds from 5 to 20 min from now");
  expect(flatWords("AW", { from: 0, to: 20 }, 8.4)).toBe("Leaving AW makes no odds now, and for 11 more min");
  expect(flatWords("AW", { from: 0, to: 3 }, 5)).toContain("Past the minutes");
});
