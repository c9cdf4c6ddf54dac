// SPDX-License-Identifier: Apache-2.0
// How a check leaves the machine: its program first, then the folder that the program wrote in.
import { rm } from "node:fs/promises";

const kLongestEndMs = 20_000; // of a program that was asked to end

// Asks `child` to end and waits until it is gone; one that does not end in time is killed.
export async function ended(child) {
  if (!child || child.exitCode !== null || child.signalCode !== null) return;
  child.removeAllListeners("exit"); // its end is no longer a surprise
  const gone = new Promise((done) => { child.on("exit", done); });
  child.kill();
  const late = setTimeout(() => child.kill("SIGKILL"), kLongestEndMs);
  await gone;
  clearTimeout(late);
}

// Removes `folder`. What is left behind in the temporary folder is told and fails no check.
export async function removed(folder) {
  await rm(folder, { recursive: true, force: true, maxRetries: 5, retryDelay: 200 })
    .catch((error) => console.log(`# left behind: ${folder} (${error.code})`));
}
