// SPDX-License-Identifier: Apache-2.0
import { signal } from "@preact/signals";

export const typed = signal(""); // what stands in the log bar
