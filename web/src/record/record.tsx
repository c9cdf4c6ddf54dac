// SPDX-License-Identifier: Apache-2.0
// Record: the report as it will print, what is missing with a way to it, words of one's own, signing, taking away.
import { signal } from "@preact/signals";
import { useEffect, useState } from "preact/hooks";
import { caseId, drawer, goTo, news, open, past, say, sentence, writer, write } from "../state/store";
import { typed } from "../run/typed";
import { getJson, postJson } from "../wire/engine";
import { anything } from "../wire/parse";
import { countOf, moment } from "../words/number";
import { missingOf, reportAnswer, type Line, type Missing, type ReportAnswer, type Section, type Sheet, type Words } from "./report-shape";
import { LessonPane } from "./lesson";
import { LookPane } from "./look";
import { TakeFacts, WholeCase } from "./moving";
import { ChoosePane, Shots } from "./pictures";
import "./record.css";

const report = signal<ReportAnswer | null>(null);
const fault = signal("");
const zone = (): number => -new Date().getTimezoneOffset();
const pathOf = (id: string, ending = ""): string => `/api/cases/${encodeURIComponent(id)}/report${ending}`;

async function readReport(id: string, signal_: AbortSignal): Promise<void> {
  try {
    const found = await getJson(`${pathOf(id)}?zone_min=${zone()}`, reportAnswer, signal_);
    if (signal_.aborted) return;
    report.value = found;
    fault.value = "";
  } catch (error) {
    if (!signal_.aborted) fault.value = sentence(error);
  }
}

function fill(gap: Missing): void {
  if (gap.how === "fact") { drawer.value = { kind: "fact", name: gap.what, of: "" }; return; }
  if (gap.how === "log") {
    if (!gap.what.startsWith("amend ")) typed.value = gap.what;
    goTo(gap.what.startsWith("amend ") ? "journal" : "run");
    return;
  }
  document.getElementById(`words-${gap.section}`)?.focus();
}
const kWays = { fact: "State it", log: "Type it", text: "Write it", hand: "Write it" } as const;
const wayOf = (gap: Missing): string => (gap.how === "log" && gap.what.startsWith("amend ") ? "Amend it" : kWays[gap.how]);

function Gaps({ gaps }: { readonly gaps: readonly Missing[] }) {
  if (gaps.length === 0) return <p>Nothing that the report asks for is missing.</p>;
  return (
    <ul class="record-gaps">
      {gaps.map((gap) => (
        <li key={`${gap.section} ${gap.label}`}>
          <span class="gap-mark" aria-hidden="true">▢</span><span>{gap.label}{gap.how === "log" && <> <code class="dim small">{gap.what}</code></>}</span>
          <button type="button" class="quiet" onClick={() => fill(gap)} aria-label={`${wayOf(gap)}: ${gap.label}`}>{wayOf(gap)}</button>
        </li>
      ))}
    </ul>
  );
}

function SignPane({ shown, id }: { readonly shown: ReportAnswer; readonly id: string }) {
  const [busy, setBusy] = useState(false);
  const sign = async (): Promise<void> => {
    if (writer.value.trim() === "") {
      say("trouble", "Nobody is named as the writer: type your initials at the lower left, then sign");
      document.getElementById("writer")?.focus();
      return;
    }
    setBusy(true);
    try {
      await postJson(pathOf(id, "/sign"), anything, { by: writer.value.trim(), zone_min: zone() });
      say("done", "Signed: the words as they read now are kept in the journal");
      await readReport(id, new AbortController().signal);
    } catch (error) {
      say("trouble", sentence(error));
    }
    setBusy(false);
  };
  const last = shown.seals.at(-1);
  const changed = shown.changes.length > 1;
  return (
    <section class="pane" aria-labelledby="sign-head"><h2 id="sign-head">Sign</h2>
      {shown.seals.map((seal) => <p key={seal.entry}>Version {seal.version}, {seal.by}, {moment(seal.at)}, {countOf(seal.gaps, "item", "items")} not recorded then. <code class="small record-hash">{seal.report_sha256.slice(0, 16)}</code></p>)}
      {last !== undefined && !changed && <p class="dim">{shown.changes[0]}</p>}
      {changed && (
        <details class="record-changes" open><summary>{shown.changes[0]}</summary>
          <div class="table-scroll" tabIndex={0} role="group" aria-label="What has changed since the last signature">
            <ul>{shown.changes.slice(1).map((one, at) => <li key={at} class={one.startsWith("+") ? "now" : "then"}>{one}</li>)}</ul>
          </div>
        </details>
      )}
      {shown.not_understood > 0 && <p class="warn">{countOf(shown.not_understood, "entry", "entries")} of a newer program: sign with that program.</p>}
      {(last === undefined || changed) && (
        <button type="button" class="main" disabled={busy || past.value !== null || shown.not_understood > 0} onClick={() => { void sign(); }}>
          {last === undefined ? "Sign this report" : `Sign version ${last.version + 1}`}
        </button>
      )}
      <p class="dim small">{shown.gaps > 0 ? `${countOf(shown.gaps, "item", "items")} not recorded: they stay marked.` : ""} Signing keeps the words and their hash; what is amended later shows as a difference.</p>
    </section>
  );
}

function Take({ id }: { readonly id: string }) {
  const at = (ending: string, more = ""): string => `${pathOf(id, ending)}?zone_min=${zone()}${more}`;
  const letter = `/api/cases/${encodeURIComponent(id)}/letter.pdf?zone_min=${zone()}`;
  return (
    <section class="pane" aria-labelledby="take-head"><h2 id="take-head">Take away</h2>
      <div class="record-take">
        <a class="key" href={at(".pdf")} download>PDF, A4</a>
        <a class="key" href={at(".pdf", "&paper=letter")} download>PDF, Letter</a>
        <a class="key" href={at(".html")} download>HTML</a>
        <a class="key" href={letter} download>Letter in plain words</a>
        <a class="key" href={`/api/cases/${encodeURIComponent(id)}/lesson.html`} download>Lesson</a>
        <a class="key" href={`/api/cases/${encodeURIComponent(id)}/fhir.json?zone_min=${zone()}`} download>FHIR bundle</a>
        <a class="key" href={`/api/cases/${encodeURIComponent(id)}/report.dcm?zone_min=${zone()}`} download>DICOM object</a>
        <a class="key" href={`/api/cases/${encodeURIComponent(id)}/measurements.dcm?zone_min=${zone()}`} download>DICOM measurements</a>
        <a class="key" href={`/api/practice/registry.csv?table=visits&case=${encodeURIComponent(id)}`} download="registry-row.csv">Registry row, CSV</a>
        <a class="key" href="/api/practice/registry.csv?table=dictionary" download="registry-dictionary.csv">What its columns mean</a>
      </div>
      <p class="dim small">The lesson shows nobody: no names, days, clock times or ids. Words for it are notes that begin with <code>lesson:</code> or <code>speaker:</code>. Read every word of it before it is shown.</p>
    </section>
  );
}

function Rows({ lines }: { readonly lines: readonly Line[] }) {
  if (lines.length === 0) return null;
  return (
    <dl>{lines.map((one) => (
      <div key={one.label}><dt>{one.label}</dt><dd>{one.gap === null ? one.value : <span class="gap"><span aria-hidden="true">▢ </span>{one.value}</span>}</dd></div>
    ))}</dl>
  );
}

function Grid({ sheet, name }: { readonly sheet: Sheet; readonly name: string }) {
  return (
    <>
      <div class="table-scroll" tabIndex={0} role="group" aria-label={sheet.title === "" ? name : sheet.title}>
        <table class="items"><caption class={sheet.title === "" ? "unseen" : ""}>{sheet.title === "" ? name : sheet.title}</caption>
          <thead><tr>{sheet.columns.map((word) => <th key={word} scope="col">{word}</th>)}</tr></thead>
          <tbody>{sheet.rows.map((row, at) => <tr key={at}>{row.map((cell, column) => <td key={column} class="figures">{cell}</td>)}</tr>)}</tbody>
        </table>
      </div>
      {sheet.remarks.map((remark) => <p key={remark} class="dim small">{remark}</p>)}
    </>
  );
}

function OwnWords({ section }: { readonly section: Section }) {
  const last: Words | undefined = section.words.at(-1);
  const [text, setText] = useState(last?.text ?? "");
  const [from, setFrom] = useState(last?.entry ?? "");
  if ((last?.entry ?? "") !== from) { setFrom(last?.entry ?? ""); setText(last?.text ?? ""); }
  const keep = async (): Promise<void> => {
    const data = { text: `report: ${section.id}\n${text.trim()}` };
    if (await write("note", data, last === undefined ? undefined : { id: last.entry, at: last.at })) say("done", "Kept: these words stay, whatever is computed anew");
  };
  const changed = text.trim() !== (last?.text ?? "") && text.trim() !== "";
  return (
    <div class="record-words">
      <label for={`words-${section.id}`}>In your own words: {section.title}</label>
      <textarea id={`words-${section.id}`} rows={text === "" ? 1 : 3} maxLength={4000} value={text} onInput={(event) => setText(event.currentTarget.value)} />
      {changed && <button type="button" onClick={() => { void keep(); }}>Keep these words</button>}
    </div>
  );
}

export function Record() {
  const id = caseId.value;
  const heard = news.value;
  // An entry of this page is known by its answer, also where the stream does not run yet.
  const known = heard + (open.value?.seq ?? 0);
  useEffect(() => {
    const asking = new AbortController();
    if (report.value?.case !== id) report.value = null;
    void readReport(id, asking.signal);
    return () => asking.abort();
  }, [id, heard]);
  const shown = report.value;
  if (shown === null) return <p class="empty" role="status">{fault.value === "" ? "Writing the report…" : fault.value}</p>;
  const gaps = missingOf(shown);
  return (
    <div class="record-page">
      <div class="record-sheet" tabIndex={0} role="group" aria-label="The report">
        <h1>Report <span class="dim">{shown.title}</span></h1>
        <p class="dim">Visit {shown.visit}, from the journal up to entry {shown.seq}. {shown.invented && <span class="invented">invented</span>}</p>
        {fault.value !== "" && <p class="warn" role="status">{fault.value}</p>}
        {shown.sections.map((section) => (
          <section key={section.id} aria-labelledby={`head-${section.id}`}><h2 id={`head-${section.id}`}>{section.title}</h2>
            <Rows lines={section.lines} />
            {section.tables.map((sheet) => <Grid key={sheet.title} sheet={sheet} name={section.title} />)}
            <OwnWords section={section} />
          </section>
        ))}
        <Shots shown={shown} zone={zone()} />
      </div>
      <div class="record-side">
        <section class="pane" aria-labelledby="gaps-head"><h2 id="gaps-head">{gaps.length === 0 ? "Complete" : `${countOf(gaps.length, "item", "items")} not recorded`}</h2><Gaps gaps={gaps} /></section>
        <SignPane shown={shown} id={id} />
        <ChoosePane key={`choose ${id}`} id={id} heard={known} />
        <LessonPane key={`lesson ${id}`} id={id} heard={known} />
        <Take id={id} />
        <TakeFacts key={`facts ${id}`} id={id} />
        <WholeCase key={`whole ${id}`} id={id} />
        <LookPane key={`look ${id}`} id={id} heard={known} />
      </div>
    </div>
  );
}
