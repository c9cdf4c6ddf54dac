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

// "mask=…&keep=…" of names typed with commas between, and of the words that stay.
export function wordsAsked(names: string, kept: readonly string[]): string {
  const masks = names.split(",").map((one) => one.trim()).filter((one) => one !== "");
  return [...masks.map((one) => `mask=${encodeURIComponent(one)}`), ...kept.map((one) => `keep=${encodeURIComponent(one)}`)].join("&");
}
