// SPDX-License-Identifier: Apache-2.0
// The one run-time check of what the engine says. A parser takes a value and the path at which it stands, and gives the
// typed value or throws a WireError that names the path: `images[0].rows: expected a finite number, got "512"`.

export type Parser<T> = (value: unknown, path: string) => T;
export type Parsed<P> = P extends Parser<infer T> ? T : never;

export class WireError extends Error {
  readonly path: string;
  constructor(path: string, expected: string, got: unknown) {
    super(`${path}: expected ${expected}, got ${JSON.stringify(got)?.slice(0, 80) ?? "nothing"}`);
    this.name = "WireError";
    this.path = path;
  }
}

export const text: Parser<string> = (value, path) => {
  if (typeof value !== "string") throw new WireError(path, "a text", value);
  return value;
};

export const number: Parser<number> = (value, path) => {
  if (typeof value !== "number" || !Number.isFinite(value)) throw new WireError(path, "a finite number", value);
  return value;
};

export const count: Parser<number> = (value, path) => {
  const whole = number(value, path);
  if (!Number.isInteger(whole) || whole < 0) throw new WireError(path, "a whole number of 0 or more", value);
  return whole;
};

export const truth: Parser<boolean> = (value, path) => {
  if (typeof value !== "boolean") throw new WireError(path, "true or false", value);
  return value;
};

export const anything: Parser<unknown> = (value) => value;

// Absent and null are the same: nothing is known.
export function maybe<T>(item: Parser<T>): Parser<T | null> {
  return (value, path) => (value === undefined || value === null ? null : item(value, path));
}

export function fallback<T>(item: Parser<T>, otherwise: T): Parser<T> {
  return (value, path) => (value === undefined || value === null ? otherwise : item(value, path));
}

export function arrayOf<T>(item: Parser<T>): Parser<T[]> {
  return (value, path) => {
    if (!Array.isArray(value)) throw new WireError(path, "a list", value);
    return value.map((entry: unknown, index) => item(entry, `${path}[${index}]`));
  };
}

export function oneOf<const W extends string>(...words: W[]): Parser<W> {
  return (value, path) => {
    const found = words.find((word) => word === value);
    if (found === undefined) throw new WireError(path, `one of ${words.join(", ")}`, value);
    return found;
  };
}

export function isRecord(value: unknown): value is Record<string, unknown> {
  return typeof value === "object" && value !== null && !Array.isArray(value);
}

export function mapOf<T>(item: Parser<T>): Parser<Map<string, T>> {
  return (value, path) => {
    if (!isRecord(value)) throw new WireError(path, "an object", value);
    return new Map(Object.entries(value).map(([key, entry]) => [key, item(entry, `${path}.${key}`)]));
  };
}

// Members that the shape does not name are left out: a newer engine may say more than this page reads.
export function object<S extends Record<string, Parser<unknown>>>(shape: S): Parser<{ [K in keyof S]: Parsed<S[K]> }> {
  return (value, path) => {
    if (!isRecord(value)) throw new WireError(path, "an object", value);
    const found: Record<string, unknown> = {};
    for (const [key, parser] of Object.entries(shape)) {
      found[key] = parser(value[key], path === "" ? key : `${path}.${key}`);
    }
    return found as { [K in keyof S]: Parsed<S[K]> };
  };
}

export function branded<T extends number>(expected: string): Parser<T> {
  return (value, path) => {
    if (typeof value !== "number" || !Number.isFinite(value)) throw new WireError(path, expected, value);
    return value as T;
  };
}
