// SPDX-License-Identifier: Apache-2.0
// Entry ids: 48 bits of time, 80 random bits, in Crockford's base 32, so that text order is time order.
const kLetters = "0123456789ABCDEFGHJKMNPQRSTVWXYZ";

export function ulid(now: number, random: Uint8Array): string {
  let head = "";
  for (let rest = now, place = 0; place < 10; place++, rest = Math.floor(rest / 32)) {
    head = kLetters.charAt(rest % 32) + head;
  }
  let tail = "";
  for (const byte of random.subarray(0, 16)) tail += kLetters.charAt(byte & 31);
  return head + tail;
}

export const newUlid = (): string => ulid(Date.now(), crypto.getRandomValues(new Uint8Array(16)));
