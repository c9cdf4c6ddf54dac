// SPDX-License-Identifier: Apache-2.0
import { describe, expect, it } from "vitest";
import { sendAll, verdictOf, type Ended, type Kept, type Store, type Verdict } from "../../src/queue/kept";

function memory(): Store & { rows: Kept[] } {
  const rows: Kept[] = [];
  let n = 0;
  return {
    rows,
    add: async (fresh) => { const kept = { ...fresh, n: ++n }; rows.push(kept); return kept; },
    all: async () => [...rows],
    remove: async (gone) => { rows.splice(rows.findIndex((each) => each.n === gone), 1); },
    refuse: async (bad, why, asked) => { const at = rows.findIndex((each) => each.n === bad); const row = rows[at]; if (row) rows[at] = { ...row, refused: why, asked }; },
  };
}
const fresh = (id: string) => ({ caseId: "c", id, at: "", written: "", device: "page", bytes: "{}", path: "entries" as const, said: id, refused: null });
const stored: Verdict = { kind: "stored", again: false };

describe("The queue", () => {
  it("sends in the order of writing, one at a time, and erases only what is stored", async () => {
    const store = memory();
    for (const id of ["a", "b", "c"]) await store.add(fresh(id));
    const sent: string[] = [];
    let under = 0;
    const last = await sendAll(store, async (kept) => {
      expect(++under).toBe(1);
      await Promise.resolve();
      expect(store.rows.some((each) => each.id === kept.id), "still kept while it is sent").toBe(true);
      sent.push(kept.id);
      under--;
      return stored;
    }, () => undefined);
    expect(sent).toEqual(["a", "b", "c"]);
    expect(store.rows).toEqual([]);
    expect(last).toEqual(stored);
  });

  it("stops where the engine is away, keeps everything, and goes on from there", async () => {
    const store = memory();
    for (const id of ["a", "b", "c"]) await store.add(fresh(id));
    let away = true;
    const engine = new Map<string, number>();
    const send = async (kept: Kept): Promise<Verdict> => {
      if (kept.id !== "a" && away) return { kind: "away" };
      engine.set(kept.id, (engine.get(kept.id) ?? 0) + 1);
      return stored;
    };
    expect(await sendAll(store, send, () => undefined)).toEqual({ kind: "away" });
    expect(store.rows.map((each) => each.id)).toEqual(["b", "c"]);
    away = false;
    await sendAll(store, send, () => undefined);
    expect([...engine]).toEqual([["a", 1], ["b", 1], ["c", 1]]);
  });

  it("puts a refused entry aside, says why, and lets the others pass", async () => {
    const store = memory();
    for (const id of ["a", "bad", "c"]) await store.add(fresh(id));
    const ended: Ended[] = [];
    await sendAll(store, async (kept) => (kept.id === "bad" ? { kind: "refused", why: "below 60", asked: false } : stored), (each) => ended.push(each));
    expect(store.rows.map((each) => [each.id, each.refused])).toEqual([["bad", "below 60"]]);
    expect(ended.map((each) => each.verdict.kind)).toEqual(["stored", "refused", "stored"]);
    await sendAll(store, async () => { throw new Error("a refused one is not sent again"); }, () => undefined);
  });

  it("an entry whose receipt was lost is sent again under the same id, and the engine says that it has it", async () => {
    const store = memory();
    await store.add(fresh("a"));
    const engine = new Set<string>();
    let lost = true;
    const send = async (kept: Kept): Promise<Verdict> => {
      const again = engine.has(kept.id);
      engine.add(kept.id);
      if (lost) return { kind: "away" };
      return { kind: "stored", again };
    };
    await sendAll(store, send, () => undefined);
    lost = false;
    expect(await sendAll(store, send, () => undefined)).toEqual({ kind: "stored", again: true });
    expect(engine.size).toBe(1);
  });
});

describe("What an answer means", () => {
  const fault = (what: string) => JSON.stringify({ error: { what, where: "entries[0].data", to_do: "correct it" } });
  it("refuses only for what is wrong with the entry itself", () => {
    for (const status of [0, 408, 429, 500, 503]) expect(verdictOf(status, "").kind, String(status)).toBe("away");
    for (const status of [401, 403]) expect(verdictOf(status, fault("not let in")).kind, String(status)).toBe("door");
    for (const status of [400, 404, 409, 413]) expect(verdictOf(status, fault("no")).kind, String(status)).toBe("refused");
    expect(verdictOf(400, fault("act 36 s is outside 60 to 1000"))).toEqual({ kind: "refused", why: "act 36 s is outside 60 to 1000 (data): correct it", asked: false });
  });
  it("takes nothing for stored that the engine did not say", () => {
    expect(verdictOf(200, '{"entries":[{"id":"x","seq":1,"again":true}]}')).toEqual({ kind: "stored", again: true });
    expect(verdictOf(200, "<html>a door of the hotel</html>").kind).toBe("away");
    expect(verdictOf(200, '{"entries":[]}').kind).toBe("away");
  });
  it("puts a line aside that the engine asks about, until somebody says that it is meant", () => {
    const body = '{"entries":[],"asks":[{"what":"the same dose was written a minute ago","to_do":"confirm it or leave it","amends":null}]}';
    expect(verdictOf(200, body)).toEqual({ kind: "refused", why: "the same dose was written a minute ago: confirm it or leave it", asked: true });
  });
});
