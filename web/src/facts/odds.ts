// SPDX-License-Identifier: Apache-2.0
// Odds between grades while they are edited: whole hundredths that always add up to one hundred.
export type Hundredths = readonly number[];

// Moves one grade to `wanted`; the others give or take in proportion to what they hold, the last rounding goes to the
// largest of them. With nothing in the others, the first other takes all.
export function moveShare(shares: Hundredths, index: number, wanted: number): number[] {
  const target = Math.min(100, Math.max(0, Math.round(wanted)));
  const rest = 100 - target;
  const others = shares.map((share, place) => (place === index ? 0 : Math.max(0, share)));
  const held = others.reduce((sum, share) => sum + share, 0);
  if (shares.length === 1) return [100];
  if (held === 0) {
    const taker = index === 0 ? 1 : 0;
    return shares.map((_, place) => (place === index ? target : place === taker ? rest : 0));
  }
  const moved = others.map((share) => Math.floor((share * rest) / held));
  const spare = rest - moved.reduce((sum, share) => sum + share, 0);
  const largest = others.indexOf(Math.max(...others));
  return moved.map((share, place) => (place === index ? target : place === largest ? share + spare : share));
}

export function fromOdds(grades: readonly string[], odds: ReadonlyMap<string, number>): number[] {
  const exact = grades.map((grade) => (odds.get(grade) ?? 0) * 100);
  const whole = exact.map(Math.round);
  const spare = 100 - whole.reduce((sum, share) => sum + share, 0);
  const largest = exact.indexOf(Math.max(...exact));
  return whole.map((share, place) => (place === largest ? share + spare : share));
}

export function toOdds(grades: readonly string[], shares: Hundredths): Map<string, number> {
  return new Map(grades.map((grade, place) => [grade, (shares[place] ?? 0) / 100] as const).filter(([, share]) => share > 0));
}
