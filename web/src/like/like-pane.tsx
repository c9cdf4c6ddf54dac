// SPDX-License-Identifier: Apache-2.0
// The closed fold in Plan; what is in it is fetched, and asked, only when somebody opens it.
import { signal } from "@preact/signals";
import { likePart } from "../frame/parts";

const unfolded = signal(false);

export function LikePane() {
  return (
    <details class="pane like-pane" open={unfolded.value} onToggle={(event) => { unfolded.value = event.currentTarget.open; }}>
      <summary><h2>Cases like this one</h2> <span class="dim small">from the past cases: what was done, what happened</span></summary>
      {unfolded.value && <likePart.Show />}
    </details>
  );
}
