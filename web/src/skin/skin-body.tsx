// SPDX-License-Identifier: Apache-2.0
// The body in space: shaded by its dose, with the beam of the event that is chosen; turned by a drag, a finger or arrow keys.
import { signal, useSignal } from "@preact/signals";
import { useEffect, useRef } from "preact/hooks";
import { turnWords, type Turn } from "../pair/turn";
import { turnByHand, turnByKey } from "../pair/turning";
import { figure } from "../words/number";
import { bodyPicture, kBody, kSteps } from "./body";
import type { Skin, SkinBeam } from "./shapes";

const kFromBehind: Turn = { about: 200, above: 12, far: 4 }; // the skin that is met first is that of the back
const turn = signal<Turn>(kFromBehind);

const mostOf = (beams: readonly SkinBeam[]): SkinBeam | null => beams.reduce<SkinBeam | null>((most, each) => (most === null || each.at_peak_gy > most.at_peak_gy ? each : most), null);
const words = (beam: SkinBeam): string => `${beam.number}: ${beam.view}, ${figure(beam.air_kerma_gy, 2)} Gy${beam.kind === "unknown" ? "" : `, ${beam.kind}`}`;

export function SkinBody({ skin }: { readonly skin: Skin }) {
  const host = useRef<HTMLDivElement>(null);
  const chosen = useSignal(0); // its number; 0: the event that gave most to the peak
  useEffect(() => {
    const stop = new AbortController();
    if (host.current) turnByHand(host.current, turn, stop.signal);
    return () => stop.abort();
  }, [skin.map.length === 0]);
  const trunk = skin.map[0];
  if (!trunk || trunk.x_mm.length !== trunk.round) return null;
  const beam = skin.beams.find((each) => each.number === chosen.value) ?? mostOf(skin.beams);
  const drawn = bodyPicture(skin.map, beam, turn.value);
  const rays = beam && <g class="body-beam"><path class="rays" d={drawn.rays} /><path class="fan" d={drawn.fan} />{drawn.tube && <circle cx={drawn.tube.x} cy={drawn.tube.y} r="5" />}</g>;
  return (
    <section aria-label="The body in space">
      <h3>On the body</h3>
      <div class="skin-body" ref={host} role="group" tabIndex={0} aria-label="The body in space: arrow keys turn it, + and − bring it nearer" onKeyDown={(event) => turnByKey(turn, event)}>
        <svg viewBox={`0 0 ${kBody.width} ${kBody.height}`} role="img" aria-label={`The body seen ${turnWords(turn.value)}${beam ? `, with the beam of event ${words(beam)}` : ""}`}>
          {drawn.behind && rays}
          {drawn.shades.map((shade) => <path key={shade.step} class={`body-shade s${shade.step + 1}`} d={shade.path} />)}
          {!drawn.behind && rays}
        </svg>
      </div>
      <p class="small dim figures">Seen {turnWords(turn.value)}. Shades from {kSteps.map((step) => `${step} Gy`).join(", ")}.</p>
      {skin.beams.length > 0 && (
        <label class="small">The beam of<select value={beam?.number ?? 0} onChange={(event) => { chosen.value = Number(event.currentTarget.value); }}>
          {skin.beams.map((each) => <option key={each.number} value={each.number}>{words(each)}</option>)}</select></label>)}
      {skin.beams_in_all > skin.beams.length && <p class="small dim">Of {skin.beams_in_all} events the {skin.beams.length} with most air kerma.</p>}
    </section>
  );
}
