// SPDX-License-Identifier: Apache-2.0
// The Run stage: the board above, the log bar below.
import { useEffect } from "preact/hooks";
import { NoticeLine } from "../frame/notice";
import { caseId, past } from "../state/store";
import { Cautions } from "./cautions";
import { Drills } from "./drills";
import { GateKeys } from "./gates";
import { Gauges } from "./gauges";
import { board, boardFault, now, startBoard, ways } from "./live";
import { Lacking } from "./lacking";
import { LogBar } from "./log-bar";
import { PatiencePane } from "./patience";
import { Replay } from "./replay";
import { Timeline } from "./timeline";
import { AttemptPane, BodyPane } from "./top";
import { WhyNot } from "./why-not";
import { WriterLine } from "./writer-line";
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
          <div class="run-main"><p class="dim pane">The board comes with the engine. What is typed below is kept in this browser meanwhile.</p><Timeline /></div>
        ) : (
          <div class="run-two">
            <div class="run-main">
              <AttemptPane board={shown} now={now.value} /><PatiencePane board={shown} answer={ways.value} now={now.value} />
              <Gauges board={shown} now={now.value} /><Lacking board={shown} /><WorkingViewPane /><GateKeys board={shown} /><WhyNot board={shown} /><Timeline />
            </div>
            <div class="run-side"><BodyPane board={shown} /><Cautions board={shown} now={now.value} /></div>
          </div>
        )}
      </div>
      <Drills board={shown} now={now.value} />
      <div class="run-foot"><NoticeLine /><WriterLine /><Replay />{past.value === null && <LogBar />}</div>
    </div>
  );
}
