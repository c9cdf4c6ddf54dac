// SPDX-License-Identifier: Apache-2.0
import { Known } from "../facts/known";
import { pairPart } from "../frame/parts";
import { pairing } from "../pair/hand";
import { Bench } from "./bench";
import { Picture } from "./picture";
import { Strip } from "./strip";

export function Appraise() {
  if (pairing.value) return <div class="pair-stage"><pairPart.Show /></div>;
  return (
    <>
      <h1 class="unseen">Appraise</h1>
      <Strip />
      <section class="reading" aria-label="Run">
        <Picture />
      </section>
      <div class="beside">
        <Bench />
        <Known />
      </div>
    </>
  );
}
