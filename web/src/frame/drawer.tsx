// SPDX-License-Identifier: Apache-2.0
// The drawer at the right: value, uncertainty, source, because. Not modal: the page beside it stays usable. It takes
// the focus when it opens and gives it back when it shuts.
import { useEffect, useRef } from "preact/hooks";
import { FactDrawer } from "../facts/fact-drawer";
import { EntryDrawer } from "../journal/entry-drawer";
import { ScoreDrawer } from "../plan/score-drawer";
import { Waiting } from "../queue/waiting";
import { drawer, type Drawer } from "../state/store";
import { Help } from "./help";
import { skinDrawerPart } from "./parts";

function name(now: Drawer): string {
  switch (now.kind) {
    case "shut": return "";
    case "fact": return "Fact";
    case "score": return "Score";
    case "entry": return "Entry";
    case "skin": return "Dose and skin";
    case "waiting": return "Waiting entries";
    case "help": return "Keys";
  }
}

function Content({ now }: { readonly now: Drawer }) {
  switch (now.kind) {
    case "shut": return null;
    case "fact": return <FactDrawer key={`${now.name}/${now.of}`} name={now.name} of={now.of} />;
    case "score": return <ScoreDrawer id={now.id} of={now.of} />;
    case "entry": return <EntryDrawer key={now.id} id={now.id} />;
    case "skin": return <skinDrawerPart.Show />;
    case "waiting": return <Waiting />;
    case "help": return <Help />;
  }
}

export function DrawerShell() {
  const now = drawer.value;
  const shell = useRef<HTMLElement>(null);
  const cameFrom = useRef<Element | null>(null);
  const shut = now.kind === "shut";
  useEffect(() => {
    if (!shut) {
      if (!shell.current?.contains(document.activeElement)) cameFrom.current = document.activeElement;
      shell.current?.focus();
    } else if (cameFrom.current instanceof HTMLElement && cameFrom.current.isConnected) cameFrom.current.focus();
  }, [now]);
  if (shut) return null;
  return (
    <aside class="drawer" ref={shell} tabIndex={-1} aria-label={name(now)}>
      <button type="button" class="quiet drawer-close" onClick={() => { drawer.value = { kind: "shut" }; }} aria-label="Close the drawer">Close</button>
      <Content now={now} />
    </aside>
  );
}
