// SPDX-License-Identifier: Apache-2.0
// The skin beside the budgets of a run, and under the view map of Plan: nothing where nothing is known.
import { board } from "../run/live";
import { drawer, stage } from "../state/store";
import { figure } from "../words/number";
import { useViewsOf } from "../views/ask";
import { Leave } from "../views/leave";
import { useSkin } from "./ask";
import { PeakWords, SkinMap } from "./skin-map";

export function SkinTile() {
  const skin = useSkin();
  const answer = useViewsOf(skin?.peak ? "tile" : "");
  if (!skin?.peak) return null;
  // The gauge beside it counts what is typed; these come from the runs' own headers or a dose report.
  const typed = board.value?.gauges.some((gauge) => gauge.id === "kerma" && gauge.used !== null) ?? true;
  const most = skin.views.filter((view) => view.at_peak_gy > 0).slice(0, 3);
  return (
    <section class="pane gauge skin-tile" aria-label="Skin">
      <h2>Skin</h2>
      <PeakWords peak={skin.peak} />
      {stage.value === "run" && !skin.peak.from_totals && !typed && <p class="small warn">From {skin.events === 1 ? "one run or event" : `${skin.events} runs or events`} that {skin.events === 1 ? "says its" : "say their"} own dose ({figure(skin.air_kerma_gy, 1)} Gy). Nobody has typed an air kerma, so its gauge counts none.</p>}
      {answer && !skin.peak.from_totals && <Leave answer={answer} />}
      <SkinMap skin={skin} />
      {skin.peak.from_totals
        ? <p class="small dim">From the air kerma alone: no event says from where it came.</p>
        : <p class="small dim">{skin.peak.where}{most.length > 0 ? `; by ${most.map((view) => `${view.view} (${figure(view.at_peak_gy, 1)} Gy)`).join(", ")}` : ""}</p>}
      <p class="small">Band {skin.bands.name === skin.bands.at_high ? skin.bands.name : `${skin.bands.name}, at the upper end ${skin.bands.at_high}`}; the local physicist decides.</p>
      <button type="button" class="quiet" onClick={() => { drawer.value = { kind: "skin" }; }}>Dose and skin</button>
    </section>
  );
}
