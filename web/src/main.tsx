// SPDX-License-Identifier: Apache-2.0
import { render } from "preact";
import { App } from "./frame/app";
import { fetchWhenIdle } from "./frame/later";
import { kParts } from "./frame/parts";
import { setTheme, start, theme } from "./state/store";
import { startQueue } from "./queue/queue";
import { listenToKeys } from "./state/keys";
import { followSuppositions } from "./state/suppose";
import { followLadder } from "./ways/ask";
import "./style/base.css";
import "./style/frame.css";
import "./style/appraise.css";
import "./style/facts.css";
import "./style/plan.css";
import "./style/lists.css";
import "./style/practice.css";
import "./ways/ways.css";
import "./style/kit.css";
import "./style/run.css";
import "./views/views.css";
import "./skin/skin.css";

setTheme(theme.value);
listenToKeys();
followSuppositions();
followLadder();
startQueue();
void start();
// The page's files are kept, so that a tablet can open it while the engine is away.
void navigator.serviceWorker?.register("/sw.js").catch(() => undefined);
const host = document.getElementById("page");
if (host) render(<App />, host);
fetchWhenIdle(kParts);
