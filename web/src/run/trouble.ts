// SPDX-License-Identifier: Apache-2.0
import { signal } from "@preact/signals";

// Which drill is open; "" is the question which.
export const drill = signal<string | null>(null);
export const openTrouble = (): void => { drill.value = ""; };
