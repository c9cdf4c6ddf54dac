#!/usr/bin/env python3
# SPDX-License-Identifier: Apache-2.0
"""Verifies a journal by docs/journal-format.md alone, with nothing of the program: Python's standard library.

verify_chain.py JOURNAL.SQLITE [CASE [LAST_HASH]]    every case, or one; exit 1 if anything does not hold
"""
import hashlib
import sqlite3
import sys


def text(value):
    data = value.encode()
    return len(data).to_bytes(4, "big") + data


def whole(value):
    return value.to_bytes(8, "big", signed=True)


def header(row):
    return (b"fairlead entry 1\n" + whole(row["v"]) + text(row["id"]) + text(row["case_id"]) + whole(row["at"]) +
            whole(row["written"]) + text(row["by_whom"]) + text(row["device"]) + text(row["kind"]) +
            text(row["amends"]) + whole(row["seq"]) + whole(row["recorded"]))


def faults_of(database, case, last_hash):
    faults, prev, seq = [], bytes(32), 0
    struck = {row["seq"] for row in database.execute("SELECT seq FROM struck_out WHERE case_id = ?", (case,))}
    for row in database.execute("SELECT * FROM entry WHERE case_id = ? ORDER BY seq", (case,)):
        seq += 1
        if row["seq"] != seq:
            faults.append(f"{case}: entry {seq} is missing")
            seq = row["seq"]
        if row["data"] is None and row["seq"] not in struck:
            faults.append(f"{case} {seq}: no data, and never struck out")
        if row["data"] is not None and hashlib.sha256(row["data"].encode()).hexdigest() != row["data_hash"]:
            faults.append(f"{case} {seq}: the data does not match its hash")
        found = hashlib.sha256(prev + header(row) + bytes.fromhex(row["data_hash"])).digest()
        if found.hex() != row["hash"]:
            faults.append(f"{case} {seq}: the entry does not match its hash")
        prev = bytes.fromhex(row["hash"])
    print(f"{case}: {seq} entries, {len(struck)} struck out, last hash {prev.hex()}")
    if last_hash and prev.hex() != last_hash:
        faults.append(f"{case}: the last hash is not {last_hash}")
    return faults


def main():
    path, only, last_hash = (sys.argv[1:] + [None, None])[:3]
    database = sqlite3.connect(f"file:{path}?mode=ro", uri=True)
    database.row_factory = sqlite3.Row
    cases = [only] if only else [row["id"] for row in database.execute("SELECT id FROM cases ORDER BY id")]
    faults = [fault for case in cases for fault in faults_of(database, case, last_hash)]
    print("\n".join(faults) if faults else "the chain holds")
    return 1 if faults else 0


if __name__ == "__main__":
    sys.exit(main())
