// SPDX-License-Identifier: Apache-2.0
import { Known } from "../facts/known";
import { pairPart, pullbackBenchPart, pullbackPart } from "../frame/parts";
import { pairing } from "../pair/hand";
import { Bench } from "./bench";
import { picture } from "./desk";
import { Picture } from "./picture";
import { Strip } from "./strip";

export function Appraise() {
  if (pairing.value) return <div class="pair-stage"><pairPart.Show /></div>;
  const ultrasound = picture.value?.kind === "ultrasound";
  return (
    <>
      <h1 class="unseen">Appraise</h1>
      <Strip />
      <section class={`reading${ultrasound ? " of-pullback" : ""}`} aria-label={ultrasound ? "Pullback" : "Run"}>
        {ultrasound ? <pullbackPart.Show /> : <Picture />}
      </section>
      <div class="beside">
        {ultrasound ? <pullbackBenchPart.Show /> : <Bench />}
        <Known />
      </div>
    </>
  );
}
