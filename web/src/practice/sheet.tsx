// SPDX-License-Identifier: Apache-2.0
// A picture of the practice and the same as a table, with a CSV file of it.
import type { Mark, Sheet } from "./draw";
import { csvOf } from "./table";

export const kSheet: Sheet = { width: 640, height: 260 };

export function Drawn({ marks, said, sheet = kSheet }: { readonly marks: readonly Mark[]; readonly said: string; readonly sheet?: Sheet }) {
  return (
    <svg class="audit-sheet" viewBox={`0 0 ${sheet.width} ${sheet.height}`} role="img" aria-label={said}>
      {marks.map((mark, i) => (mark.kind === "word" ? <text key={i} class={mark.look} x={mark.x} y={mark.y}>{mark.text}</text>
        : mark.kind === "dot" ? <circle key={i} class={mark.look} cx={mark.x} cy={mark.y} r={5} />
          : <path key={i} class={mark.look} d={mark.d} />))}
    </svg>
  );
}

interface TableProps { readonly name: string; readonly head: readonly string[]; readonly rows: readonly (readonly string[])[] }
export function Table({ name, head, rows }: TableProps) {
  const href = `data:text/csv;charset=utf-8,${encodeURIComponent(csvOf(head, rows))}`;
  return (
    <details class="audit-table"><summary>The same as a table</summary>
      <div class="table-scroll" tabIndex={0} role="group" aria-label={name}>
        <table class="items"><caption class="unseen">{name}</caption>
          <thead><tr>{head.map((word) => <th key={word} scope="col">{word}</th>)}</tr></thead>
          <tbody>{rows.map((row, i) => <tr key={i}>{row.map((cell, at) => (at === 0 ? <th key={at} scope="row">{cell}</th> : <td key={at} class="figures">{cell}</td>))}</tr>)}</tbody>
        </table>
      </div>
      <a class="quiet-link" href={href} download={`${name.toLowerCase().replace(/[^a-z]+/g, "-")}.csv`}>CSV file</a>
    </details>
  );
}
