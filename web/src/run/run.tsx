// SPDX-License-Identifier: Apache-2.0
// The Run stage: the board above, the log bar below.
import { useEffect } from "preact/hooks";
import { caseId, past } from "../state/store";
import { Cautions } from "./cautions";
import { Drills } from "./drills";
import { GateKeys } from "./gates";
import { Gauges } from "./gauges";
import { board, boardFault, now, startBoard, ways } from "./live";
import { LogBar } from "./log-bar";
import { PatiencePane } from "./patience";
import { Replay } from "./replay";
import { Timeline } from "./timeline";
import { AttemptPane, BodyPane } from "./top";
import { WhyNot } from "./why-not";
import { WorkingViewPane } from "../views/working-view";

export function Run() {
  useEffect(() => startBoard(), [caseId.value]);
  const shown = board.value;
  return (
    <div class="run-page">
      <h1 class="unseen">Run</h1>
      <div class="run-board" tabIndex={-1}>
        {boardFault.value !== "" && <p class="warn" role="status">{boardFault.value}</p>}
        {shown === null ? (
          <div class="run-rest"><p class="dim pane">The board comes with the engine. What is typed below is kept in this browser meanwhile.</p><Timeline /></div>
        ) : (
          <>
            <div class="run-top"><AttemptPane board={shown} now={now.value} /><BodyPane board={shown} /><PatiencePane board={shown} answer={ways.value} now={now.value} /></div>
            <div class="run-rest">
              <div class="run-left"><Gauges board={shown} now={now.value} /><WorkingViewPane /><GateKeys board={shown} /><WhyNot board={shown} /><Timeline /></div>
              <Cautions board={shown} now={now.value} />
            </div>
          </>
        )}
      </div>
      <Drills board={shown} now={now.value} />
      <div class="run-foot"><Replay />{past.value === null && <LogBar />}</div>
    </div>
  );
}
