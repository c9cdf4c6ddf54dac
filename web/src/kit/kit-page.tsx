// SPDX-License-Identifier: Apache-2.0
// Kit: the lab's shelf, and questions about it that need no case.
import { GuideSupport } from "./guide-support";
import { NewList } from "./new-list";
import { ReadLabel } from "./read-label";
import { ShelfList } from "./shelf-list";
import { TryFit } from "./try-fit";
import { TryReach } from "./try-reach";
import { WireLadder } from "./wire-ladder";

export function KitPage() {
  return (
    <>
      <h1>Kit</h1>
      <div class="kit-page">
        <TryFit />
        <TryReach />
        <ReadLabel />
        <NewList />
        <ShelfList />
        <WireLadder />
        <GuideSupport />
      </div>
    </>
  );
}
