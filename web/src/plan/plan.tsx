// SPDX-License-Identifier: Apache-2.0
// Plan: why, then one column for each question, a picture first in each.
import { seenFromPart, skinTilePart } from "../frame/parts";
import { AllScores } from "./all-scores";
import { WhatWith } from "../kit/what-with";
import { HowHard } from "./how-hard";
import { WhatIf } from "./what-if";
import { WhyOpen } from "./why-open";
import { WhichWay } from "../ways/which-way";

export function Plan() {
  return (
    <>
      <h1 class="unseen">Plan</h1>
      <WhyOpen />
      <WhatIf />
      <div class="plan-columns">
        <HowHard />
        <WhichWay />
        <WhatWith />
        <div class="column"><seenFromPart.Show /><skinTilePart.Show /></div>
      </div>
      <AllScores />
    </>
  );
}
