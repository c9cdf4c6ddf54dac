// SPDX-License-Identifier: Apache-2.0
// One question at a time: what is asked meanwhile is asked once, as it stands when the answer is in. For what takes the engine
// longer than entries take to come: it would be asked in vain for each of them, or, left off each time, never be answered.
export function oneAtATime<A>(ask: (what: A) => Promise<void>): (what: A) => void {
  let busy = false;
  let next: { readonly what: A } | null = null;
  const go = async (what: A): Promise<void> => {
    busy = true;
    try {
      await ask(what);
    } finally {
      busy = false;
    }
    const more = next;
    next = null;
    if (more !== null) void go(more.what);
  };
  return (what) => {
    if (busy) next = { what };
    else void go(what);
  };
}
