// SPDX-License-Identifier: Apache-2.0
// The audit's pictures as plain lists of lines, dots and words; nothing is computed here but places on the sheet.
import type { Group, LearningPoint, Series, SmoothPoint, Stretch, Unit } from "./audit-shape";

export interface Sheet {
  readonly width: number;
  readonly height: number;
}
export interface Mark {
  readonly kind: "line" | "dot" | "bar" | "word" | "band";
  readonly look: string; // a class of practice.css
  readonly d?: string;
  readonly x?: number;
  readonly y?: number;
  readonly text?: string;
}

const kLeft = 46;
const kRight = 12;
const kTop = 14;
const kFoot = 26;

export interface Scale {
  (value: number): number;
}
export const across = (sheet: Sheet, low: number, high: number): Scale =>
  (value) => kLeft + ((value - low) / Math.max(1e-9, high - low)) * (sheet.width - kLeft - kRight);
export const upward = (sheet: Sheet, low: number, high: number): Scale =>
  (value) => sheet.height - kFoot - ((value - low) / Math.max(1e-9, high - low)) * (sheet.height - kFoot - kTop);

const at = (value: number): string => value.toFixed(1);
export const path = (xs: readonly number[], ys: readonly number[]): string =>
  xs.map((x, i) => `${i === 0 ? "M" : "L"}${at(x)} ${at(ys[i] ?? 0)}`).join("");

// A step of 1, 2 or 5 times a power of ten that gives at most `most` ticks.
export function ticks(low: number, high: number, most: number): number[] {
  const rough = Math.max(1e-9, (high - low) / most);
  const power = 10 ** Math.floor(Math.log10(rough));
  const step = [1, 2, 5, 10].map((each) => each * power).find((each) => each >= rough) ?? rough;
  const found: number[] = [];
  for (let value = Math.ceil(low / step) * step; value <= high + step * 1e-6; value += step) found.push(Math.round(value * 1e6) / 1e6);
  return found;
}

function axes(sheet: Sheet, x: Scale, y: Scale, xs: readonly number[], ys: readonly number[], words: (value: number) => string): Mark[] {
  return [
    ...ys.map((value): Mark => ({ kind: "line", look: "grid", d: `M${kLeft} ${at(y(value))}H${sheet.width - kRight}` })),
    ...ys.map((value): Mark => ({ kind: "word", look: "tick left", x: kLeft - 6, y: y(value) + 4, text: words(value) })),
    ...xs.map((value): Mark => ({ kind: "word", look: "tick", x: x(value), y: sheet.height - 8, text: String(value) })),
  ];
}
const plain = (value: number): string => (Math.abs(value) < 1e-9 ? "0" : String(value).replace("-", "\u2212"));

// Expected minus happened after each case, with twice its pointwise spread.
export function storyPicture(sheet: Sheet, series: Series): Mark[] {
  const n = series.judged;
  const reach = Math.max(1, ...series.story.map(Math.abs), ...series.story_sd.map((sd) => 2 * sd));
  const x = across(sheet, 0, n);
  const y = upward(sheet, -reach, reach);
  const xs = series.at.map((i) => x(i + 1));
  const upper = series.story_sd.map((sd) => y(2 * sd));
  const lower = series.story_sd.map((sd) => y(-2 * sd));
  return [
    { kind: "band", look: "guide", d: `${path(xs, upper)}${path([...xs].reverse(), [...lower].reverse()).replace("M", "L")}Z` },
    ...axes(sheet, x, y, ticks(0, n, 6), ticks(-reach, reach, 5), plain),
    { kind: "line", look: "zero", d: `M${kLeft} ${at(y(0))}H${sheet.width - kRight}` },
    { kind: "line", look: "own", d: path([x(0), ...xs], [y(0), ...series.story.map(y)]) },
  ];
}

// Two sums, worse above the axis, better below it, each with its threshold.
export function cusumPicture(sheet: Sheet, series: Series): Mark[] {
  const n = series.judged;
  const top = Math.max(series.worse_threshold.h * 1.15, ...series.worse);
  const foot = Math.max(series.better_threshold.h * 1.15, ...series.better);
  const x = across(sheet, 0, n);
  const y = upward(sheet, -foot, top);
  const xs = [x(0), ...series.at.map((i) => x(i + 1))];
  const drawn = new Map(series.at.map((i, at) => [i, at]));
  const sumAt = (sums: readonly number[], i: number): number => sums[drawn.get(i) ?? -1] ?? 0;
  const limit = (value: number): Mark => ({ kind: "line", look: "limit", d: `M${kLeft} ${at(y(value))}H${sheet.width - kRight}` });
  return [
    ...axes(sheet, x, y, ticks(0, n, 6), ticks(-foot, top, 5), plain),
    { kind: "line", look: "zero", d: `M${kLeft} ${at(y(0))}H${sheet.width - kRight}` },
    limit(series.worse_threshold.h), limit(-series.better_threshold.h),
    { kind: "line", look: "worse", d: path(xs, [y(0), ...series.worse.map(y)]) },
    { kind: "line", look: "better", d: path(xs, [y(0), ...series.better.map((value) => y(-value))]) },
    ...series.worse_signals.map((i): Mark => ({ kind: "dot", look: "signal", x: x(i + 1), y: y(sumAt(series.worse, i)) })),
    ...series.better_signals.map((i): Mark => ({ kind: "dot", look: "signal good", x: x(i + 1), y: y(-sumAt(series.better, i)) })),
    { kind: "word", look: "said", x: kLeft + 6, y: y(series.worse_threshold.h) - 6, text: "failures above expectation" },
    { kind: "word", look: "said", x: kLeft + 6, y: y(-series.better_threshold.h) - 6, text: "failures below expectation" },
  ];
}

// Observed over expected of each year against the number expected, with its own exact limits.
export function funnelPicture(sheet: Sheet, units: readonly Unit[]): Mark[] {
  const widest = Math.max(1, ...units.map((unit) => unit.expected)) * 1.1;
  const highest = Math.max(2, ...units.map((unit) => unit.ratio), ...units.map((unit) => unit.limits[3] ?? 0)) * 1.05;
  const x = across(sheet, 0, widest);
  const y = upward(sheet, 0, highest);
  return [
    ...axes(sheet, x, y, ticks(0, widest, 6), ticks(0, highest, 5), plain),
    { kind: "line", look: "zero", d: `M${kLeft} ${at(y(1))}H${sheet.width - kRight}` },
    ...units.flatMap((unit): Mark[] => {
      const [lowest = 0, low = 0, high = 0, most = 0] = unit.limits;
      return [
        { kind: "line", look: "whisker", d: `M${at(x(unit.expected))} ${at(y(lowest))}V${at(y(most))}` },
        ...(unit.widened ? [{ kind: "line", look: "whisker wide", d: `M${at(x(unit.expected) - 7)} ${at(y(unit.widened.low ?? 0))}h14m-7 0V${at(y(Math.min(highest, unit.widened.high ?? highest)))}m-7 0h14` } satisfies Mark] : []),
        { kind: "line", look: "whisker inner", d: `M${at(x(unit.expected))} ${at(y(low))}V${at(y(high))}` },
        { kind: "dot", look: "own", x: x(unit.expected), y: y(unit.ratio) },
        { kind: "word", look: "said", x: x(unit.expected) + 8, y: y(unit.ratio) + 4, text: unit.name },
      ];
    }),
  ];
}

// Failure by class of difficulty: published, own with its interval.
export function classPicture(sheet: Sheet, groups: readonly Group[]): Mark[] {
  const shown = groups.filter((group) => group.cases > 0);
  const highest = Math.min(1, Math.max(0.3, ...shown.map((group) => group.own?.high ?? group.published)) * 1.05);
  const slot = across(sheet, 0, Math.max(1, shown.length));
  const y = upward(sheet, 0, highest);
  return [
    ...ticks(0, highest, 4).map((value): Mark => ({ kind: "line", look: "grid", d: `M${kLeft} ${at(y(value))}H${sheet.width - kRight}` })),
    ...ticks(0, highest, 4).map((value): Mark => ({ kind: "word", look: "tick left", x: kLeft - 6, y: y(value) + 4, text: `${Math.round(100 * value)} %` })),
    ...shown.flatMap((group, i): Mark[] => {
      const middle = slot(i + 0.5);
      const wide = (slot(1) - slot(0)) * 0.3;
      return [
        { kind: "line", look: "published", d: `M${at(middle - wide)} ${at(y(group.published))}H${at(middle + wide)}` },
        ...(group.own ? [{ kind: "line", look: "whisker own", d: `M${at(middle)} ${at(y(group.own.low ?? 0))}V${at(y(group.own.high ?? 1))}` } satisfies Mark] : []),
        { kind: "dot", look: "own", x: middle, y: y(group.failures / group.cases) },
        { kind: "word", look: "tick", x: middle, y: sheet.height - 8, text: `${group.j_cto} (n ${group.cases})` },
      ];
    }),
  ];
}

// Own chance along the published one, with its band; the diagonal is agreement, the dots are the classes.
export function calibrationPicture(sheet: Sheet, groups: readonly Group[], smooth: readonly SmoothPoint[]): Mark[] {
  const shown = groups.filter((group) => group.cases > 0);
  const highest = Math.min(1, Math.max(0.3, ...shown.map((group) => group.own?.high ?? 0), ...smooth.map((each) => each.high)) * 1.05);
  const widest = Math.max(0.3, ...shown.map((group) => group.published)) * 1.05;
  const x = across(sheet, 0, widest);
  const y = upward(sheet, 0, highest);
  const xs = smooth.map((each) => x(each.published));
  const share = (value: number): string => `${Math.round(100 * value)} %`;
  return [
    ...(smooth.length > 0 ? [{ kind: "band", look: "guide", d: `${path(xs, smooth.map((each) => y(Math.min(highest, each.high))))}${path([...xs].reverse(), [...smooth].reverse().map((each) => y(each.low))).replace("M", "L")}Z` } satisfies Mark] : []),
    ...axes(sheet, x, y, [], ticks(0, highest, 4), share),
    ...ticks(0, widest, 6).map((value): Mark => ({ kind: "word", look: "tick", x: x(value), y: sheet.height - 8, text: share(value) })),
    { kind: "line", look: "zero", d: `M${at(x(0))} ${at(y(0))}L${at(x(Math.min(widest, highest)))} ${at(y(Math.min(widest, highest)))}` },
    ...(smooth.length > 0 ? [{ kind: "line", look: "own", d: path(xs, smooth.map((each) => y(Math.min(highest, each.found)))) } satisfies Mark] : []),
    ...shown.flatMap((group): Mark[] => [
      ...(group.own ? [{ kind: "line", look: "whisker own", d: `M${at(x(group.published))} ${at(y(group.own.low ?? 0))}V${at(y(Math.min(highest, group.own.high ?? highest)))}` } satisfies Mark] : []),
      { kind: "dot", look: "own", x: x(group.published), y: y(Math.min(highest, group.failures / group.cases)) },
    ]),
  ];
}

// Observed over expected of consecutive stretches of cases, each with its exact interval; the fitted line of learning with
// its band where the cases carry one. Up to `kMostShown` times expected, so that a wide interval does not flatten the rest.
const kMostShown = 6;
export function learningPicture(sheet: Sheet, stretches: readonly Stretch[], curve: readonly LearningPoint[]): Mark[] {
  const last = Math.max(1, ...stretches.map((each) => each.last), ...curve.map((each) => each.case));
  const within = (value: number | null): number => Math.min(kMostShown, value ?? kMostShown);
  const highest = Math.max(2, ...stretches.map((each) => within(each.high)), ...curve.map((each) => within(each.high)));
  const x = across(sheet, 0, last);
  const y = upward(sheet, 0, highest);
  const xs = curve.map((each) => x(each.case));
  return [
    ...(curve.length > 0 ? [{ kind: "band", look: "guide", d: `${path(xs, curve.map((each) => y(within(each.high))))}${path([...xs].reverse(), [...curve].reverse().map((each) => y(within(each.low)))).replace("M", "L")}Z` } satisfies Mark] : []),
    ...axes(sheet, x, y, ticks(0, last, 6), ticks(0, highest, 5), plain),
    { kind: "line", look: "zero", d: `M${kLeft} ${at(y(1))}H${sheet.width - kRight}` },
    ...(curve.length > 0 ? [{ kind: "line", look: "own dashed", d: path(xs, curve.map((each) => y(within(each.odds_factor)))) } satisfies Mark] : []),
    ...stretches.flatMap((each): Mark[] => {
      const middle = x((each.first + each.last) / 2);
      return [
        { kind: "line", look: "whisker own", d: `M${at(middle)} ${at(y(within(each.low)))}V${at(y(within(each.high)))}` },
        { kind: "dot", look: "own", x: middle, y: y(within(each.ratio)) },
      ];
    }),
  ];
}

// One line a name: a dot with its interval, or a middle with its quarters. In the order in which they come.
export interface Row { readonly name: string; readonly value: number; readonly low: number; readonly high: number }
const kNames = 210;
export const rowsSheet = (rows: readonly Row[]): Sheet => ({ width: 640, height: 40 + 26 * Math.max(1, rows.length) });
export function rowsPicture(rows: readonly Row[], highest: number, words: (value: number) => string, expected?: number): Mark[] {
  const sheet = rowsSheet(rows);
  const x = (value: number): number => kNames + (Math.min(value, highest) / Math.max(1e-9, highest)) * (sheet.width - kNames - kRight - 20);
  const foot = sheet.height - kFoot;
  return [
    ...ticks(0, highest, 5).flatMap((value): Mark[] => [
      { kind: "line", look: "grid", d: `M${at(x(value))} 6V${foot}` },
      { kind: "word", look: "tick", x: x(value), y: sheet.height - 8, text: words(value) },
    ]),
    ...(expected === undefined ? [] : [{ kind: "line", look: "zero", d: `M${at(x(expected))} 6V${foot}` } satisfies Mark]),
    ...rows.flatMap((row, i): Mark[] => {
      const y = 20 + 26 * i;
      return [
        { kind: "word", look: "tick left", x: kNames - 10, y: y + 4, text: row.name },
        { kind: "line", look: "whisker own", d: `M${at(x(row.low))} ${y}H${at(x(row.high))}` },
        { kind: "dot", look: "own", x: x(row.value), y },
      ];
    }),
  ];
}
