// SPDX-License-Identifier: Apache-2.0
import { describe, expect, it } from "vitest";
import { kSilenceMs, linkAt } from "../../src/wire/stream";
import { ulid } from "../../src/wire/ulid";

describe("The link", () => {
  it("is frozen after five seconds of silence, since the last beat", () => {
    expect(linkAt(null, 1e6)).toEqual({ kind: "starting" });
    expect(linkAt(1000, 1000 + kSilenceMs)).toEqual({ kind: "live" });
    expect(linkAt(1000, 1001 + kSilenceMs)).toEqual({ kind: "frozen", since: 1000 });
  });
});

describe("An entry's id", () => {
  // The time part of the worked example in the ULID specification (github.com/ulid/spec): 1469918176385 ms.
  it("writes its time as the specification's example does", () => expect(ulid(1469918176385, new Uint8Array(16)).slice(0, 10)).toBe("01ARYZ6S41"));
  it("has 26 characters of base 32 and orders by time", () => {
    expect(ulid(1, new Uint8Array(16).fill(255))).toMatch(/^[0-9A-HJKMNP-TV-Z]{26}$/);
    expect(ulid(1e12, new Uint8Array(16).fill(255)) < ulid(1e12 + 1, new Uint8Array(16))).toBe(true);
  });
});
