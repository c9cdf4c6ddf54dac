// SPDX-License-Identifier: Apache-2.0
import { render } from "preact";
import { App } from "./frame/app";
import { fetchWhenIdle } from "./frame/later";
import { kParts } from "./frame/parts";
import { setTheme, start, theme } from "./state/store";
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

setTheme(theme.value);
listenToKeys();
followSuppositions();
followLadder();
void start();
const host = document.getElementById("page");
if (host) render(<App />, host);
fetchWhenIdle(kParts);
