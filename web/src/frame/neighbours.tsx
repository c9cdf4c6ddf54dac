// SPDX-License-Identifier: Apache-2.0
// Another case of the same room that is being written to: entries land in the wrong one more often than they are lost.
import { neighbours, open } from "../state/store";
import { clock } from "../words/number";

export function Neighbours() {
  const others = neighbours.value;
  const first = others[0];
  if (!first) return null;
  return (
    <p class="neighbour-line" role="status"><span aria-hidden="true">▲</span>{" "}
      <strong>Another case is open in {open.value?.case.room ?? "this room"}:</strong>{" "}
      <a href={`#/case/${encodeURIComponent(first.id)}/appraise`}>{first.title}</a>{first.worked_at ? `, written to at ${clock(new Date(first.worked_at))}` : ""}{others.length > 1 ? `, and ${others.length - 1} more` : ""}. Is this the one you mean?</p>
  );
}
