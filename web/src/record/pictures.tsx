// SPDX-License-Identifier: Apache-2.0
// Key pictures: those in the report, and the pane where frames are chosen for it and stretches of runs for the lesson. A choice is a
// note ("picture: HASH frame 12; words", "clip: HASH frames 10-60; words"); it is taken back by withdrawing the note.
import { useEffect, useRef, useState } from "preact/hooks";
import { open, say, sentence, write } from "../state/store";
import { countOf } from "../words/number";
import { useLesson, type LessonPoint } from "./lesson";
import { paint } from "./look";
import type { ReportAnswer, Shot } from "./report-shape";

const kShort = 16; // digits of a hash that name a run in a note

async function takeOut(entry: string): Promise<void> {
  if (await write("withdraw", { reason: "not in the report" }, { id: entry, at: new Date().toISOString() })) say("done", "Taken out of the report; the note stays readable in the journal");
}

function OneShot({ shot, at, path }: { readonly shot: Shot; readonly at: number; readonly path: string }) {
  const [fault, setFault] = useState("");
  return (
    <figure class={shot.wide ? "wide" : ""}>
      {shot.missing !== "" ? <p class="gap">{shot.missing}</p> : fault !== "" ? <p class="gap">{fault}</p>
        : <img src={path} alt={`${shot.title}. ${shot.caption}`} onError={() => setFault("the picture cannot be shown: the PDF says why")} />}
      <figcaption><b>{at + 1} · {shot.title}</b>{shot.caption !== "" && <><br />{shot.caption}</>}
        {shot.marks.map((mark) => <span key={mark} class="dim small"><br />{mark}</span>)}
        <br /><button type="button" class="quiet" aria-label={`Take out: picture ${at + 1}`} onClick={() => { void takeOut(shot.entry); }}>Take out</button>
      </figcaption>
    </figure>
  );
}

export function Shots({ shown, zone }: { readonly shown: ReportAnswer; readonly zone: number }) {
  if (shown.pictures.length === 0) return null;
  return (
    <section aria-labelledby="head-pictures"><h2 id="head-pictures">Key pictures</h2>
      <div class="record-shots">{shown.pictures.map((shot, at) => (
        <OneShot key={shot.entry} shot={shot} at={at} path={`/api/cases/${encodeURIComponent(shown.case)}/report/pictures/${encodeURIComponent(shot.entry)}?zone_min=${zone}&seq=${shown.seq}`} />
      ))}</div>
    </section>
  );
}

function Chooser({ hash, label, frames, points }: { readonly hash: string; readonly label: string; readonly frames: number; readonly points: readonly LessonPoint[] }) {
  const canvas = useRef<HTMLCanvasElement>(null);
  const [frame, setFrame] = useState(0);
  const [caption, setCaption] = useState("");
  const [first, setFirst] = useState(1);
  const [last, setLast] = useState(Math.min(frames, 60));
  const [point, setPoint] = useState("");
  useEffect(() => {
    const asking = new AbortController();
    if (canvas.current) paint(canvas.current, hash, frame, asking.signal).catch((error: unknown) => { if (!asking.signal.aborted) say("trouble", sentence(error)); });
    return () => asking.abort();
  }, [hash, frame]);
  const words = caption.trim() === "" ? "" : `; ${caption.trim()}`;
  const keep = async (text: string, done: string, at = ""): Promise<void> => {
    if (await write("note", { text: text + words }, undefined, at === "" ? undefined : at)) { say("done", done); setCaption(""); }
  };
  const clip = (): void => {
    if (first < 1 || last > frames || first > last) { say("trouble", `The run has frames 1 to ${frames}: type a first and a last one of them`); return; }
    void keep(`clip: ${hash.slice(0, kShort)} frames ${first}-${last}`, "Kept for the lesson: it is shown there once somebody has looked whether something is written in the pictures", point);
  };
  const whole = (value: string): number => Math.trunc(Number(value)) || 0;
  return (
    <div class="look-one">
      <div class="look-picture"><canvas ref={canvas} role="img" aria-label={`${label}, frame ${frame + 1} of ${frames}, to choose`} /></div>
      {frames > 1 && <label class="record-file">Frame {frame + 1} of {frames}, {label}<input type="range" min={0} max={frames - 1} value={frame} onInput={(event) => setFrame(Number(event.currentTarget.value))} /></label>}
      <label class="record-file">Words below it<input value={caption} maxLength={400} autocomplete="off" onInput={(event) => setCaption(event.currentTarget.value)} /></label>
      <div class="record-take"><button type="button" class="main" onClick={() => { void keep(`picture: ${hash.slice(0, kShort)} frame ${frame + 1}`, `Frame ${frame + 1} of ${label} is in the report`); }}>Frame {frame + 1} into the report</button></div>
      {frames > 1 && (
        <div class="record-take">
          <label class="record-file">Clip from frame<input type="number" min={1} max={frames} value={first} onInput={(event) => setFirst(whole(event.currentTarget.value))} /></label>
          <label class="record-file">to frame<input type="number" min={1} max={frames} value={last} onInput={(event) => setLast(whole(event.currentTarget.value))} /></label>
          <label class="record-file">Shown at<select value={point} onChange={(event) => setPoint(event.currentTarget.value)}>
            <option value="">the beginning, or the end if the run came later</option>
            {points.map((one) => <option key={one.at + one.question} value={one.at}>{one.when}: {one.question}</option>)}
          </select></label>
          <button type="button" onClick={clip}>These frames into the lesson</button>
        </div>
      )}
    </div>
  );
}

export function ChoosePane({ id, heard }: { readonly id: string; readonly heard: number }) {
  const [chosen, setChosen] = useState("");
  const images = (open.value?.images ?? []).filter((one) => one.image !== null);
  const current = images.find((one) => one.hash === chosen);
  const plan = useLesson(id, heard, current !== undefined);
  const draw = async (what: string): Promise<void> => { if (await write("note", { text: `picture: ${what}` })) say("done", `The ${what === "skin" ? "map of the skin" : what} is in the report`); };
  return (
    <section class="pane" aria-labelledby="choose-head"><h2 id="choose-head">Key pictures and clips</h2>
      <p class="dim small">A frame goes into the report with what was measured on it. {countOf(images.length, "run", "runs")} in this case.</p>
      <div class="record-take">
        <button type="button" onClick={() => { void draw("timeline"); }}>Timeline into the report</button>
        <button type="button" onClick={() => { void draw("skin"); }}>Map of the skin into the report</button>
        {images.map((one) => <button key={one.hash} type="button" aria-pressed={chosen === one.hash} aria-label={`Choose from ${one.label}`} onClick={() => setChosen(chosen === one.hash ? "" : one.hash)}>{one.label}</button>)}
      </div>
      {current !== undefined && <Chooser key={current.hash} hash={current.hash} label={current.label} frames={current.image?.frames ?? 1} points={plan?.points ?? []} />}
    </section>
  );
}
