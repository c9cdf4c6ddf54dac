// SPDX-License-Identifier: Apache-2.0
// What stands above everything once the engine has been silent for five seconds.
import { link } from "../state/store";
import { clock } from "../words/number";

export function Frozen() {
  const now = link.value;
  return (
    <div role="alert" class="frozen-place">
      {now.kind === "frozen" && (
        <p class="frozen-line"><strong>Frozen since {clock(new Date(now.since))}</strong> <span>The engine is silent: figures may be old and nothing can be saved.</span></p>
      )}
    </div>
  );
}
