// SPDX-License-Identifier: Apache-2.0
// What the page has to say for a moment. Run puts it above the log bar, where it covers no key; elsewhere it floats.
import { notice } from "../state/store";

export function NoticeLine() {
  const said = notice.value;
  return (
    <div class="notice-place" aria-live="polite">
      {said && (
        <div class={`notice ${said.level}`}>
          <span aria-hidden="true">{said.level === "trouble" ? "▲" : "✓"}</span>
          <span>{said.text}</span>
          <button type="button" class="plain" onClick={() => { notice.value = null; }} aria-label="Close this message">×</button>
        </div>
      )}
    </div>
  );
}
