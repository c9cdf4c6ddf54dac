// SPDX-License-Identifier: Apache-2.0
// Words that are taken out of what leaves because they may be names. Each can be kept, by whoever knows that it is none.
interface Given { readonly words: readonly string[]; readonly kept: readonly string[]; readonly keep: (kept: readonly string[]) => void }

export function PossibleNames({ words, kept, keep }: Given) {
  if (words.length === 0) return null;
  return (
    <fieldset class="record-names"><legend>Taken out, since they may be names. Press what is none, and it stays.</legend>
      {words.map((word) => {
        const stays = kept.includes(word);
        return <button key={word} type="button" aria-pressed={stays} onClick={() => keep(stays ? kept.filter((one) => one !== word) : [...kept, word])}>{word}: {stays ? "stays" : "out"}</button>;
      })}
    </fieldset>
  );
}

interface Staying { readonly words: readonly string[]; readonly gone: readonly string[]; readonly take: (gone: readonly string[]) => void }

// Words that nobody can tell from a name: a baker, and somebody called so.
export function WordsThatStay({ words, gone, take }: Staying) {
  if (words.length === 0) return null;
  return (
    <fieldset class="record-names"><legend>These stay as ordinary words, and people are called so too. Press what is a name here, and it goes.</legend>
      {words.map((word) => {
        const goes = gone.includes(word);
        return <button key={word} type="button" aria-pressed={goes} onClick={() => take(goes ? gone.filter((one) => one !== word) : [...gone, word])}>{word}: {goes ? "out" : "stays"}</button>;
      })}
    </fieldset>
  );
}

// "mask=…&keep=…" of names typed with commas between and of words that go, and of the words that stay.
export function wordsAsked(names: string, kept: readonly string[], gone: readonly string[] = []): string {
  const masks = [...names.split(",").map((one) => one.trim()).filter((one) => one !== ""), ...gone];
  return [...masks.map((one) => `mask=${encodeURIComponent(one)}`), ...kept.map((one) => `keep=${encodeURIComponent(one)}`)].join("&");
}
