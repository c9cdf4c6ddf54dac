// SPDX-License-Identifier: Apache-2.0
// Takes an entry out with a reason; the entry stays readable in the journal.
import { useState } from "preact/hooks";
import { say, write } from "../state/store";

export function Withdraw({ id, done }: { readonly id: string; readonly done: () => void }) {
  const [reason, setReason] = useState("");
  const save = async () => {
    if (reason.trim() === "") return say("trouble", "No reason is given: say in a few words why the entry no longer counts");
    if (await write("withdraw", { reason: reason.trim() }, { id, at: new Date().toISOString() })) {
      say("done", "Withdrawn: the entry stays readable in the journal");
      done();
    }
  };
  return (
    <form class="withdraw" onSubmit={(event) => { event.preventDefault(); void save(); }}>
      <label>Why it no longer counts<input value={reason} maxLength={400} onInput={(event) => setReason(event.currentTarget.value)} /></label>
      <button type="submit">Withdraw it</button>
    </form>
  );
}
