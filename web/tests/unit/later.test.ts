// SPDX-License-Identifier: Apache-2.0
import { expect, test } from "vitest";
import { fetchWhenIdle, later } from "../../src/frame/later";

const settle = () => new Promise((done) => setTimeout(done, 0));

test("a part is fetched once, and once more only after it failed", async () => {
  let asked = 0;
  const part = later("Plan", () => {
    asked += 1;
    return asked === 1 ? Promise.reject(new Error("away")) : Promise.resolve(() => null);
  });
  await part.fetch();
  await part.fetch();
  await part.fetch();
  expect(asked).toBe(2);
});

test("parts are fetched one after the other while the page is idle, and one that fails stops none", async () => {
  const order: string[] = [];
  const part = (name: string, fails: boolean) => later(name, async () => {
    order.push(`${name} begins`);
    await settle();
    order.push(`${name} ends`);
    if (fails) throw new Error("away");
    return () => null;
  });
  globalThis.requestIdleCallback = ((run: () => void) => setTimeout(run, 0)) as unknown as typeof globalThis.requestIdleCallback;
  fetchWhenIdle([part("a", true), part("b", false)]);
  for (let turn = 0; turn < 20; turn++) await settle();
  expect(order).toEqual(["a begins", "a ends", "b begins", "b ends"]);
});
