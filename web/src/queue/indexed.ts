// SPDX-License-Identifier: Apache-2.0
// The browser's own store of waiting entries. `strict` asks the browser to have them on the disk before it says so.
import type { Kept, Store } from "./kept";

const kName = "fairlead-waiting";
const kTable = "entries";

const done = <T>(request: IDBRequest<T>): Promise<T> =>
  new Promise((found, failed) => {
    request.onsuccess = () => found(request.result);
    request.onerror = () => failed(request.error ?? new Error("the browser's store failed"));
  });

function opened(): Promise<IDBDatabase> {
  const request = indexedDB.open(kName, 1);
  request.onupgradeneeded = () => request.result.createObjectStore(kTable, { keyPath: "n", autoIncrement: true });
  return done(request);
}

export async function openStore(): Promise<Store> {
  const base = await opened();
  const change = async <T>(work: (table: IDBObjectStore) => IDBRequest<T>): Promise<T> => {
    const turn = base.transaction(kTable, "readwrite", { durability: "strict" });
    const result = done(work(turn.objectStore(kTable)));
    await new Promise<void>((kept, failed) => {
      turn.oncomplete = () => kept();
      turn.onabort = () => failed(turn.error ?? new Error("the browser's store is full"));
    });
    return result;
  };
  const all = (): Promise<Kept[]> => done(base.transaction(kTable).objectStore(kTable).getAll() as IDBRequest<Kept[]>);
  return {
    all,
    add: async (fresh) => ({ ...fresh, n: Number(await change((table) => table.add(fresh))) }),
    remove: async (n) => { await change((table) => table.delete(n)); },
    refuse: async (n, why, asked) => {
      const kept = (await all()).find((each) => each.n === n);
      if (kept) await change((table) => table.put({ ...kept, refused: why, asked }));
    },
  };
}
