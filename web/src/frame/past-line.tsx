// SPDX-License-Identifier: Apache-2.0
// Stands above every stage while one of the pasts is shown, so that it is never taken for the present.
import { goBackTo, past } from "../state/store";
import { moment } from "../words/number";

export function PastLine() {
  const then = past.value;
  if (then === null) return null;
  return (
    <div class="past-line" role="status">
      <p><strong>{then.known ? "As it was known" : "As it was"} on {moment(then.at)}.</strong>{" "}
        {then.known ? "Only what had been recorded by then, before later amendments." : "Everything that had happened by then, with what was learned or amended later."} Nothing can be written here.</p>
      <button type="button" onClick={() => goBackTo({ at: then.at, known: !then.known })}>{then.known ? "As it was" : "As it was known"}</button>
      <button type="button" class="main" onClick={() => goBackTo(null)}>Back to now</button>
    </div>
  );
}
