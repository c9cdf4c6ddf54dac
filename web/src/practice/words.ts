// SPDX-License-Identifier: Apache-2.0
// Figures of the audit in words.
import type { Quartiles, Share } from "./audit-shape";

export const percent = (share: number): string => `${(100 * share).toFixed(share < 0.1 ? 1 : 0)} %`;
export const shareWords = (share: Share | null): string =>
  share === null ? "nothing to count" : `${percent(share.share)} (${percent(share.low)} to ${percent(share.high)}), ${share.events} of ${share.cases}`;
export const two = (value: number): string => value.toFixed(2);
const three = (value: number): string => String(Number(value.toPrecision(3)));
export const quartileWords = (found: Quartiles | null, unit: string): string =>
  found === null ? "not known" : `${three(found.middle)} ${unit} (half within ${three(found.low)} to ${three(found.high)}; n ${found.cases})`;
