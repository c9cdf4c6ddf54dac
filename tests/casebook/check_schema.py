#!/usr/bin/env python3
# SPDX-License-Identifier: Apache-2.0
"""Reads {"schema": ..., "files": [...]} from standard input and prints, for each file, whether the JSON Schema takes it.
The judge is the jsonschema library (Debian python3-jsonschema), draft 2020-12."""
import json
import sys

from jsonschema import Draft202012Validator

given = json.load(sys.stdin)
Draft202012Validator.check_schema(given["schema"])
validator = Draft202012Validator(given["schema"])
print(json.dumps([validator.is_valid(one) for one in given["files"]]))
