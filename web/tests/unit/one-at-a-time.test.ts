// SPDX-License-Identifier: Apache-2.0
import { expect, it } from "vitest";
import { oneAtATime } from "../../src/wire/one-at-a-time";

it("asks once more for all that came meanwhile, as the last of them stands", async () => {
  const asked: number[] = [];
  const ends: (() => void)[] = [];
  const ask = oneAtATime(async (what: number) => {
    asked.push(what);
    await new Promise<void>((done) => ends.push(done));
  });
  const settle = () => new Promise((done) => setTimeout(done, 0));
  for (const each of [1, 2, 3, 4]) ask(each);
  expect(asked).toEqual([1]);
  ends.shift()?.();
  await settle();
  expect(asked).toEqual([1, 4]);
  ends.shift()?.();
  await settle();
  ask(5); // idle again
  expect(asked).toEqual([1, 4, 5]);
});
