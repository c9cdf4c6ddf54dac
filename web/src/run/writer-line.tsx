// SPDX-License-Identifier: Apache-2.0
// Who writes, asked beside the log before the first entry is refused for want of it; the same as at the foot of the rail.
import { useState } from "preact/hooks";
import { past, setWriter, writer } from "../state/store";

export function WriterLine() {
  const [typing, setTyping] = useState(false);
  const named = writer.value.trim() !== "";
  if (past.value !== null || (named && !typing)) return null;
  return (
    <form class="writer-line" onSubmit={(event) => { event.preventDefault(); setTyping(false); }}>
      <label for="run-writer">Who writes here?</label>
      <input id="run-writer" value={writer.value} maxLength={12} placeholder="initials" autocomplete="off" spellcheck={false}
        onFocus={() => setTyping(true)} onInput={(event) => setWriter(event.currentTarget.value)} onBlur={() => setTyping(false)} />
      <button type="submit" disabled={!named}>It is me</button>
      <span class="dim small">Every entry says by whom.</span>
    </form>
  );
}
