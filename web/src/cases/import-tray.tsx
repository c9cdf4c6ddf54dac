// SPDX-License-Identifier: Apache-2.0
import { cancel, cancelAll, clearImports, importing, type Item, type Step } from "./import";

function words(step: Step): string {
  switch (step.kind) {
    case "waits": return "waits";
    case "sending": return `${Math.round(step.share * 100)} % sent`;
    case "reading": return "being read";
    case "done": return step.words;
    case "refused": return step.why;
    case "cancelled": return "cancelled";
  }
}

function Line({ item }: { readonly item: Item }) {
  const going = item.step.kind === "waits" || item.step.kind === "sending" || item.step.kind === "reading";
  return (
    <li class={`import ${item.step.kind}`}>
      <span class="import-name">{item.name}</span>
      <span class="import-words">{item.step.kind === "refused" && <span aria-hidden="true">▲ </span>}{words(item.step)}</span>
      {going && <button type="button" class="quiet" onClick={() => cancel(item.id)} aria-label={`Cancel ${item.name}`}>Cancel</button>}
      {item.step.kind === "sending" && <progress max={1} value={item.step.share} aria-label={`${item.name}, sent`} />}
    </li>
  );
}

export function ImportTray() {
  const all = importing.value;
  const going = all.some((item) => item.step.kind === "waits" || item.step.kind === "sending" || item.step.kind === "reading");
  const done = all.filter((item) => item.step.kind === "done").length;
  const refused = all.filter((item) => item.step.kind === "refused").length;
  return (
    <section class="import-tray" aria-label="Import">
      <div class="import-head">
        <h2 role="status">{done} of {all.length} added{refused > 0 ? `, ${refused} refused` : ""}</h2>
        {going ? <button type="button" class="quiet" onClick={cancelAll}>Cancel all</button> : <button type="button" class="quiet" onClick={clearImports}>Close</button>}
      </div>
      <ul tabIndex={0} aria-label="Files">{all.map((item) => <Line key={item.id} item={item} />)}</ul>
    </section>
  );
}
