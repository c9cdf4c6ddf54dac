// SPDX-License-Identifier: Apache-2.0
// A field whose words are taken when it is left, or at Enter. Until then they are the typist's alone: what arrives meanwhile
// draws the page anew and must not empty the field.
import type { ComponentProps } from "preact";
import { useState } from "preact/hooks";

type Given = Omit<ComponentProps<"input">, "value" | "onInput" | "onChange"> & { readonly value: string; readonly take: (typed: string) => void };

export function TakenLater({ value, take, ...rest }: Given) {
  const [typed, setTyped] = useState(value);
  const [from, setFrom] = useState(value);
  if (value !== from) { setFrom(value); setTyped(value); } // somebody else set it
  return <input {...rest} value={typed} onInput={(event) => setTyped(event.currentTarget.value)} onChange={(event) => take(event.currentTarget.value)} />;
}
