// SPDX-License-Identifier: Apache-2.0
import { useEffect } from "preact/hooks";
import { Cases } from "../cases/cases";
import { dropHere, importing } from "../cases/import";
import { ImportTray } from "../cases/import-tray";
import { Journal } from "../journal/journal";
import { frozen, notice, open, stage } from "../state/store";
import { DrawerShell } from "./drawer";
import { turnedAway } from "../wire/engine";
import { Login } from "./login";
import { Rail } from "./rail";
import { Frozen } from "./frozen";
import { Neighbours } from "./neighbours";
import { NoticeLine } from "./notice";
import { appraisePart, kitPart, planPart, practicePart, recordPart, runPart, wallPart } from "./parts";
import { PastLine } from "./past-line";

function Stage() {
  const now = stage.value;
  if (now === "cases") return <Cases />;
  if (now === "practice") return <practicePart.Show />;
  if (now === "kit") return <kitPart.Show />;
  if (now === "run") return <runPart.Show />;
  if (open.value === null) return <p class="empty" role="status">Opening the case…</p>;
  if (now === "record") return <recordPart.Show />;
  if (now === "plan") return <planPart.Show />;
  return now === "journal" ? <Journal /> : <appraisePart.Show />;
}

export function App() {
  useEffect(() => dropHere(document.body), []);
  useEffect(() => {
    const said = notice.value;
    if (said?.level !== "done") return;
    const timer = setTimeout(() => { if (notice.value === said) notice.value = null; }, 4000);
    return () => clearTimeout(timer);
  }, [notice.value]);
  if (turnedAway.value) return <Login />;
  if (stage.value === "wall") return <div class={frozen.value ? "frozen" : ""}><wallPart.Show /></div>;
  return (
    <div class={`frame${frozen.value ? " frozen" : ""}`}>
      <Rail />
      <div class="middle">
        <div class="above-stage">
          <Frozen />
          <PastLine />
          <Neighbours />
        </div>
        <main id="stage" class={`stage ${stage.value}`}><Stage /></main>
        <footer class="standing">Decision support for trained operators. Not a medical device. Local protocol and the responsible physician decide.</footer>
      </div>
      <DrawerShell />
      {importing.value.length > 0 && <ImportTray />}
      {stage.value !== "run" && <NoticeLine />}
    </div>
  );
}
