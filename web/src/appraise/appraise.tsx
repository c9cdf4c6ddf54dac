// SPDX-License-Identifier: Apache-2.0
import { Known } from "../facts/known";
import { Bench } from "./bench";
import { Picture } from "./picture";
import { Strip } from "./strip";

export function Appraise() {
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
