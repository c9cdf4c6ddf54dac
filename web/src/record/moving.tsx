// SPDX-License-Identifier: Apache-2.0
// Cases on their way: facts from another system, the whole case, the case without names.
import { useEffect, useState } from "preact/hooks";
import { refreshCase, say, sentence, writer } from "../state/store";
import { getJson, postTable } from "../wire/engine";
import { arrayOf, number, object, text, truth, type Parsed } from "../wire/parse";
import { countOf, moment } from "../words/number";
import { PossibleNames, wordsAsked, WordsThatStay } from "./names";

const offered = object({ name: text, label: text, text, from: text, at: text, dated: truth, day_only: truth, stands: text, known: truth });
const offerAnswer = object({ facts: arrayOf(offered), left_out: arrayOf(text), kept: number });
type Offer = Parsed<typeof offerAnswer>;
type Offered = Parsed<typeof offered>;
const whenOf = (one: Offered): string => (!one.dated ? "not dated" : one.day_only ? one.at.slice(0, 10) : moment(one.at));
const pathOf = (id: string, more = ""): string => `/api/cases/${encodeURIComponent(id)}/fhir${more}`;

export function TakeFacts({ id }: { readonly id: string }) {
  const [file, setFile] = useState<File | null>(null);
  const [offer, setOffer] = useState<Offer | null>(null);
  const look = async (chosen: File | undefined): Promise<void> => {
    setOffer(null);
    if (chosen === undefined) return;
    setFile(chosen);
    try {
      setOffer(await postTable(pathOf(id), offerAnswer, chosen));
    } catch (error) {
      say("trouble", sentence(error));
    }
  };
  const keep = async (): Promise<void> => {
    if (file === null) return;
    if (writer.value.trim() === "") {
      say("trouble", "Nobody is named as the writer: type your initials at the lower left, then take the facts over");
      document.getElementById("writer")?.focus();
      return;
    }
    try {
      const kept = await postTable(pathOf(id, `?keep=1&by=${encodeURIComponent(writer.value.trim())}`), offerAnswer, file);
      say("done", `${countOf(kept.kept, "fact", "facts")} taken over, each with where it came from`);
      setOffer(null);
      await refreshCase(id);
    } catch (error) {
      say("trouble", sentence(error));
    }
  };
  const fresh = offer === null ? 0 : offer.facts.filter((one) => !one.known).length;
  return (
    <section class="pane" aria-labelledby="known-head"><h2 id="known-head">Known elsewhere</h2>
      <label class="record-file">A FHIR R4 file of the patient (age, sex, creatinine, haemoglobin, ejection fraction, weight, height)
        <input type="file" accept=".json,application/json" onChange={(event) => { void look(event.currentTarget.files?.[0]); }} /></label>
      {offer !== null && (
        <>
          <ul class="record-offer">{offer.facts.map((one) => (
            <li key={one.name}><b>{one.label}</b> <span class="figures">{one.text}</span> <span class="dim small">{whenOf(one)}. {one.known ? "The case says so already." : one.stands === "" ? "" : `The case says ${one.stands}.`}</span></li>
          ))}</ul>
          {offer.left_out.map((one) => <p key={one} class="dim small">Left out: {one}</p>)}
          {fresh > 0 ? <button type="button" class="main" onClick={() => { void keep(); }}>Take over {countOf(fresh, "fact", "facts")}</button> : <p class="dim">Nothing in it is new.</p>}
        </>
      )}
    </section>
  );
}

const leavingWords = object({ perhaps_names: arrayOf(text), stay: arrayOf(text) });

export function WholeCase({ id }: { readonly id: string }) {
  const [names, setNames] = useState("");
  const [teaching, setTeaching] = useState(false);
  const [kept, setKept] = useState<readonly string[]>([]);
  const [gone, setGone] = useState<readonly string[]>([]);
  const [words, setWords] = useState<Parsed<typeof leavingWords>>({ perhaps_names: [], stay: [] });
  useEffect(() => {
    if (!teaching) return undefined;
    const asking = new AbortController();
    getJson(`/api/cases/${encodeURIComponent(id)}/look`, leavingWords, asking.signal).then(setWords).catch((error: unknown) => { if (!asking.signal.aborted) say("trouble", sentence(error)); });
    return () => asking.abort();
  }, [id, teaching]);
  const asked = wordsAsked(names, kept, teaching ? gone : []);
  const base = `/api/cases/${encodeURIComponent(id)}`;
  return (
    <section class="pane" aria-labelledby="whole-head"><h2 id="whole-head">The whole case</h2>
      <div class="record-take"><a class="key" href={`${base}/case.tar`} download>Whole case, one file</a></div>
      <p class="dim small">Journal, what the lab knew and every image; another Fairlead takes it in with every hash verified. It can tell who the patient is.</p>
      <label class="record-file">Names that must not appear, with commas between<input value={names} autocomplete="off" onInput={(event) => setNames(event.currentTarget.value)} /></label>
      <label class="record-check"><input type="checkbox" checked={teaching} onChange={(event) => setTeaching(event.currentTarget.checked)} /> Keep my words for teaching, searched for names, days and numbers</label>
      {teaching && <PossibleNames words={words.perhaps_names} kept={kept} keep={setKept} />}
      {teaching && <WordsThatStay words={words.stay} gone={gone} take={setGone} />}
      <div class="record-take"><a class="key" href={`${base}/deidentified.tar?project=default${teaching ? "&teaching=1" : ""}${asked === "" ? "" : `&${asked}`}`} download>De-identified case</a></div>
      <p class="dim small">Typed words go, days move, pictures are rebuilt and masked. Only pictures that somebody has looked at below leave. Look through it before you give it away: local rules decide.</p>
    </section>
  );
}
