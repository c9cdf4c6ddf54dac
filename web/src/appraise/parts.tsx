// SPDX-License-Identifier: Apache-2.0
// What an uncertainty is made of: a bar of variance shares and the same as a list.
import type { Part } from "../wire/shapes";
import { decimalsFor, figure } from "../words/number";

export function Parts({ parts, unit }: { readonly parts: readonly Part[]; readonly unit: string }) {
  const whole = parts.reduce((sum, part) => sum + part.sd * part.sd, 0);
  if (whole === 0) return null;
  const sorted = [...parts].filter((part) => part.sd > 0).sort((a, b) => b.sd - a.sd);
  return (
    <div class="parts">
      <div class="parts-bar" aria-hidden="true">
        {sorted.map((part, index) => <span key={part.name} class={`part part-${index % 5}`} style={{ flexGrow: (part.sd * part.sd) / whole }} />)}
      </div>
      <ul>
        {sorted.map((part, index) => (
          <li key={part.name}><span class={`swatch part-${index % 5}`} aria-hidden="true" /><span>{part.name}</span><span class="figures">± {figure(part.sd, decimalsFor(part.sd))} {unit}</span></li>
        ))}
      </ul>
    </div>
  );
}

// A value with its soft ends on a scale from zero: full within one sd, gone at two.
export function SoftBar({ value, sd, top, unit }: { readonly value: number; readonly sd: number | null; readonly top: number; readonly unit: string }) {
  const at = (x: number) => Math.min(100, Math.max(0, (x / top) * 100));
  const ticks = [0, 0.25, 0.5, 0.75, 1].map((share) => share * top);
  const spread = sd ?? 0;
  const gradient = `linear-gradient(90deg, var(--sky) 0, var(--sky) ${at(value - spread)}%, transparent ${at(value + 2 * spread)}%)`;
  return (
    <div class="soft" aria-hidden="true">
      <div class="soft-bar" style={{ background: gradient }}><span class="soft-mark" style={{ left: `${at(value)}%` }} /></div>
      <div class="soft-ticks">{ticks.map((tick) => <span key={tick}>{figure(tick, tick % 1 === 0 ? 0 : 1)}{tick === top ? ` ${unit}` : ""}</span>)}</div>
    </div>
  );
}

export function niceTop(value: number): number {
  return [4, 8, 10, 20, 40, 60, 80, 100, 120, 160, 200, 400].find((top) => top >= value) ?? value;
}
