// SPDX-License-Identifier: Apache-2.0
// One line for everything that happens: completed while it is typed, shown as the engine reads it before Enter, and the
// same by touch with keys, chips and a pad. Trouble stands apart at the right edge.
import { useEffect, useRef, useState } from "preact/hooks";
import { link } from "../state/store";
import { asBefore, completionOf, nextTotals, openChips, padSigns, stepped, verbOf, withDigit, withUnit, withWord, type Grammar, type GrammarVerb } from "./grammar";
import { board } from "./live";
import { numberBoards, type Counted } from "./numbers";
import { ask, asking, commit, enter, grammar, history, preview, readTable } from "./log";
import { Exact, tableLines, TouchTables } from "./touch-tables";
import { openTrouble } from "./trouble";
import { typed } from "./typed";
import { UndoKey } from "./undo";

// The big keys: what is logged most often, each the beginning of a line.
const kKeys: readonly { readonly word: string; readonly line: string }[] = [
  { word: "ACT", line: "act " }, { word: "Heparin", line: "hep " }, { word: "Contrast +", line: "contrast +" }, { word: "Air kerma", line: "ak " },
  { word: "DAP", line: "dap " }, { word: "Fluoro", line: "fluoro " }, { word: "Wire", line: "wire " }, { word: "Microcatheter", line: "mc " }, { word: "Balloon", line: "balloon " }, { word: "Vitals", line: "bp " },
];
// Every other word by its group, its usual lines beside it: key, line, Enter.
const kGroups: readonly { readonly key: string; readonly group: string }[] = [
  { key: "Attempt", group: "attempts" }, { key: "Kit", group: "kit" }, { key: "Treat", group: "treating" }, { key: "Find", group: "finding out" },
  { key: "Look", group: "looking" }, { key: "Blood", group: "blood and drugs" }, { key: "Totals", group: "totals" }, { key: "Visit", group: "session" },
  { key: "Harm", group: "trouble and gates" },
];
const kPad = ["1", "2", "3", "4", "5", "6", "7", "8", "9", ".", "0", "⌫"] as const;

const set = (line: string): void => {
  typed.value = line;
  void ask(line);
};

function PreviewLine() {
  const now = preview.value;
  switch (now.kind) {
    case "none": return <p class="log-says dim">Type a word, or touch a key. <kbd>Tab</kbd> completes, <kbd>Enter</kbd> writes.</p>;
    case "asking": return <p class="log-says dim">…</p>;
    case "taken": return <p class="log-says taken"><span aria-hidden="true">✓</span> {now.says}{now.asks.length > 0 && <span class="warn"> · {now.asks.join(" ")} {asking.value === now.line ? "Enter again: it is meant." : ""}</span>}</p>;
    case "refused": return grammar.value !== null && !now.line.trim().includes(" ") && verbOf(grammar.value, now.line) !== null ? <p class="log-says dim">{now.why}</p> : <p class="log-says refused"><span aria-hidden="true">▲</span> {now.why}</p>;
    case "away": return <p class="log-says warn"><span aria-hidden="true">○</span> The engine is away: Enter keeps this line as typed; it is read when the engine is back.</p>;
  }
}

const kNothing: Counted = { kerma: null, area: null, fluoro: null };
const usualOf = (row: GrammarVerb): readonly string[] => [...nextTotals(row.verb, board.value?.counted ?? kNothing), ...row.usual];

function Pad({ close }: { readonly close: () => void }) {
  const table = grammar.value;
  const row = table === null ? null : verbOf(table, typed.value);
  if (row === null) return null;
  const tags = (board.value?.lanes ?? []).flatMap((lane) => lane.devices.map((each) => each.tag)).filter((tag) => tag !== "");
  const groups = openChips(row, typed.value, tags);
  const numbers = groups.some((group) => group.field !== null);
  const signs = row.fields.some((field) => field.sign !== "");
  const { joins, units } = padSigns(row);
  const exact = numberBoards(row.verb, typed.value, board.value?.counted ?? kNothing);
  const onBoard = new Set([...exact.flatMap((each) => each.rows.flat().map((cell) => cell.line)), ...tableLines(row)]); // what stands there is not offered twice
  const before = (table === null ? [] : asBefore(table, row, history.value)).filter((line) => !onBoard.has(line));
  const usual = usualOf(row).filter((line) => !before.includes(line) && !onBoard.has(line));
  const steps = [-10, -1, 1, 10].map((by) => ({ by, line: stepped(typed.value, by) }));
  return (
    <div class="pad exact-pad" role="group" aria-label={`Words of ${row.verb}`} tabIndex={0}>
      <p class="dim small pad-says">{row.says} · <code>{row.example}</code></p>
      {before.length > 0 && (
        <div class="pad-row"><span class="dim small">as before</span>
          {before.map((line) => <button type="button" key={line} onClick={() => set(line)}>{line}</button>)}</div>
      )}
      {usual.length > 0 && (
        <div class="pad-row"><span class="dim small">usual</span>
          {usual.map((line) => <button type="button" key={line} onClick={() => set(line)}>{line}</button>)}</div>
      )}
      <TouchTables row={row} set={set} />
      {exact.map((each) => <Exact key={each.says} board={each} set={set} />)}
      {steps.some((step) => step.line !== null) && (
        <div class="pad-row"><span class="dim small">last number</span>
          {steps.map(({ by, line }) => <button type="button" key={by} disabled={line === null} aria-label={`${by < 0 ? "Down" : "Up"} by ${by === -1 || by === 1 ? "one" : "ten"} of its last digit`} onClick={() => line !== null && set(line)}>{by < 0 ? "−" : "+"}{Math.abs(by)}</button>)}</div>
      )}
      {groups.filter((group) => group.words.length > 0).map((group) => (
        <div class="pad-row" key={group.label}><span class="dim small">{group.label}</span>
          {group.words.map((word) => <button type="button" key={word} onClick={() => set(withWord(typed.value, word))}>{word}</button>)}</div>
      ))}
      {numbers && (
        <div class="pad-row"><span class="dim small">{groups.filter((group) => group.field !== null).map((group) => group.label).slice(0, 4).join(" · ")}</span>
          {signs && ["+", "="].map((key) => <button type="button" key={key} onClick={() => set(withDigit(typed.value, key))}>{key}</button>)}
          {kPad.map((key) => <button type="button" key={key} aria-label={key === "⌫" ? "Take one back" : key} onClick={() => set(withDigit(typed.value, key))}>{key}</button>)}
          {joins.map((key) => <button type="button" key={key} onClick={() => set(withDigit(typed.value, key))}>{key}</button>)}
          {units.map((unit) => <button type="button" key={unit} onClick={() => set(withUnit(typed.value, unit))}>{unit}</button>)}
          <button type="button" aria-label="Next number" onClick={() => set(`${typed.value.trimEnd()} `)}>␣</button></div>
      )}
      <button type="button" class="quiet" onClick={close}>Put the chips away</button>
    </div>
  );
}

function AllVerbs({ pick }: { readonly pick: (line: string) => void }) {
  const table = grammar.value;
  if (table === null) return <p class="dim">The list of words comes with the engine.</p>;
  const groups = [...new Set(table.verbs.map((row) => row.group))];
  return (
    <div class="pad" role="group" aria-label="All words of the log">
      {groups.map((group) => (
        <div class="pad-row" key={group}><span class="dim small">{group}</span>
          {table.verbs.filter((row) => row.group === group).map((row) => <button type="button" key={row.verb} title={row.says} onClick={() => pick(`${row.verb} `)}>{row.verb}</button>)}</div>
      ))}
    </div>
  );
}

// The words of one group, each with its usual lines: a line touched stands in the bar, to be entered, or changed on its own pad.
function GroupPad({ group, pick }: { readonly group: string; readonly pick: (line: string) => void }) {
  const table = grammar.value;
  if (table === null) return <p class="dim">The list of words comes with the engine.</p>;
  const lines = (row: GrammarVerb, all: Grammar): readonly string[] => {
    const there = tableLines(row);
    return [...new Set([...asBefore(all, row, history.value), ...usualOf(row)])].filter((line) => !there.has(line));
  };
  return (
    <div class="pad exact-pad" role="group" aria-label={`Usual lines: ${group}`} tabIndex={0}>
      {table.verbs.filter((row) => row.group === group).map((row) => (
        <div class="pad-row" key={row.verb}><button type="button" class="quiet" title={row.says} onClick={() => pick(`${row.verb} `)}>{row.verb}…</button>
          {lines(row, table).map((line) => <button type="button" key={line} onClick={() => pick(line)}>{line}</button>)}
          <div class="group-tables"><TouchTables row={row} set={pick} />{numberBoards(row.verb, row.verb, board.value?.counted ?? kNothing).map((each) => <Exact key={each.says} board={each} set={pick} />)}</div>
        </div>
      ))}
    </div>
  );
}

function Line({ input }: { readonly input: { current: HTMLInputElement | null } }) {
  const [back, setBack] = useState(0);
  const table = grammar.value;
  const found = table === null ? { from: 0, words: [] } : completionOf(table, typed.value);
  const first = found.words[0];
  // Back to the line, but not by touch: a tablet would raise its letters over half the board.
  const again = (event: MouseEvent) => { if ((event as PointerEvent).pointerType !== "touch") input.current?.focus(); };
  const keys = (event: KeyboardEvent) => {
    if (event.key === "Enter") {
      event.preventDefault();
      setBack(0);
      void enter();
    } else if (event.key === "Tab" && !event.shiftKey && first !== undefined) {
      event.preventDefault();
      set(withWord(typed.value, first));
    } else if (event.key === "ArrowUp" || event.key === "ArrowDown") {
      const next = Math.max(0, Math.min(history.value.length, back + (event.key === "ArrowUp" ? 1 : -1)));
      event.preventDefault();
      setBack(next);
      set(next === 0 ? "" : (history.value[history.value.length - next] ?? ""));
    } else if (event.key === "Escape") {
      set("");
    }
  };
  return (
    <div class="log-line">
      <label class="unseen" for="log-bar">Log: what happened</label>
      <input id="log-bar" ref={input} value={typed.value} autocomplete="off" autocapitalize="none" spellcheck={false} enterkeyhint="enter"
        onInput={(event) => set(event.currentTarget.value)} onKeyDown={keys} aria-describedby="log-says" />
      <button type="button" class="main" onClick={(event) => { void enter(); again(event); }}>Enter</button>
      <div class="log-words" role="group" aria-label="Completions">
        {found.words.map((word) => <button type="button" class="quiet" key={word} onClick={(event) => { set(withWord(typed.value, word)); again(event); }}>{word}</button>)}
      </div>
    </div>
  );
}

export function LogBar() {
  const [pad, setPad] = useState("shut"); // or "verb", "all", a group
  const [filled, setFilled] = useState(false);
  const input = useRef<HTMLInputElement>(null);
  useEffect(() => { if (link.value.kind === "live" && grammar.value === null) void readTable(); }, [link.value.kind]);
  useEffect(() => { input.current?.focus({ preventScroll: true }); }, []);
  useEffect(() => { // written: the pad goes with the line
    if (typed.value !== "") return setFilled(true);
    if (filled) { setFilled(false); setPad("shut"); }
  }, [typed.value]);
  const pick = (line: string) => {
    set(line);
    setPad("verb");
  };
  return (
    <section class="log pane" aria-label="Log">
      {pad === "verb" && typed.value !== "" && <Pad close={() => setPad("shut")} />}
      {pad === "all" && <AllVerbs pick={pick} />}
      {kGroups.filter((each) => each.group === pad).map((each) => <GroupPad key={each.group} group={each.group} pick={pick} />)}
      <div class="log-desk">
        <Line input={input} />
        <div id="log-says" role="status"><PreviewLine /></div>
        <div class="log-keys">
          {kKeys.map((key) => <button type="button" key={key.word} onClick={() => pick(key.line)}>{key.word}</button>)}
        </div>
        <div class="log-keys">
          {kGroups.map((each) => <button type="button" key={each.key} aria-expanded={pad === each.group} onClick={() => setPad(pad === each.group ? "shut" : each.group)}>{each.key}</button>)}
          <button type="button" aria-expanded={pad === "all"} onClick={() => setPad(pad === "all" ? "shut" : "all")}>All words</button>
          <UndoKey />
        </div>
      </div>
      <button type="button" class="trouble-key" onClick={() => { void commit("trouble").then((kept) => kept && openTrouble()); }}>Trouble</button>
    </section>
  );
}
