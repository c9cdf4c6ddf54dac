#!/usr/bin/env python3
# SPDX-License-Identifier: Apache-2.0
"""The program as a check holds it: run once, or served and asked over HTTP. Each check's first word is the program."""
import contextlib
import http.client
import json
import os
import pathlib
import signal
import subprocess
import sys
import tempfile
import unittest
import urllib.parse

PROGRAM = os.path.abspath(sys.argv.pop(1))


def run(*words, given=None, seconds=60):
    return subprocess.run([PROGRAM, *map(str, words)], capture_output=True, text=True, input=given, timeout=seconds)


class Browser:
    """One browser, let in by a printed address."""

    def __init__(self, address):
        parts = urllib.parse.urlsplit(address)
        self.netloc = parts.netloc
        self.cookie = None
        reply, _ = self.ask("GET", f"/?{parts.query}")
        assert reply.status == 303, reply.status
        self.cookie = reply.getheader("Set-Cookie").split(";")[0]

    def ask(self, method, path, body=None, kind="application/json"):
        connection = http.client.HTTPConnection(self.netloc, timeout=60)
        headers = {"Cookie": self.cookie} if self.cookie else {}
        if body is not None:
            headers["Content-Type"] = kind
            if kind == "application/json":
                body = json.dumps(body)
        connection.request(method, path, body, headers)
        reply = connection.getresponse()
        data = reply.read()
        connection.close()
        return reply, data

    def json(self, method, path, body=None):
        reply, data = self.ask(method, path, body)
        return reply.status, json.loads(data)


@contextlib.contextmanager
def served(folder, command="serve"):
    """The program serving a folder, as (process, the address that it printed)."""
    process = subprocess.Popen([PROGRAM, command, "--data", folder, "--port", "0"], stdout=subprocess.PIPE,
                               stderr=subprocess.DEVNULL, text=True)
    try:
        yield process, process.stdout.readline().strip()
    finally:
        if process.poll() is None:
            process.send_signal(signal.SIGTERM)
            process.wait(10)
        process.stdout.close()


class Base(unittest.TestCase):
    def setUp(self):
        self.scratch = tempfile.TemporaryDirectory()
        self.folder = pathlib.Path(self.scratch.name) / "data"

    def tearDown(self):
        self.scratch.cleanup()

    def new_case(self):
        made = run("case", "new", "--title", "a test", "--data", self.folder, "--json")
        self.assertEqual(made.returncode, 0, made.stderr)
        return json.loads(made.stdout)["id"]

    def refused(self, done, status, *fragments):
        self.assertEqual(done.returncode, status, done.stderr)
        self.assertEqual(done.stdout, "")
        self.assertEqual(done.stderr.count("\n"), 1, done.stderr)
        for fragment in fragments:
            self.assertIn(fragment, done.stderr)
