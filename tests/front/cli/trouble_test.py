#!/usr/bin/env python3
# SPDX-License-Identifier: Apache-2.0
"""trouble_test.py PROGRAM   a full disk under a running server, and an import that is broken off."""
import contextlib
import ctypes
import json
import os
import pathlib
import signal
import subprocess
import time
import unittest

from program import Base, Browser, PROGRAM, run, served

LIBC = ctypes.CDLL(None, use_errno=True)


@contextlib.contextmanager
def small_disk(folder, mebibytes):
    """A file system of its own; needs the right to mount."""
    folder.mkdir()
    if LIBC.mount(b"tmpfs", str(folder).encode(), b"tmpfs", 0, f"size={mebibytes}m".encode()) != 0:
        raise unittest.SkipTest(f"mounting a tmpfs was refused: {os.strerror(ctypes.get_errno())}")
    try:
        yield folder
    finally:
        LIBC.umount2(str(folder).encode(), 2)  # MNT_DETACH


def fill(file):
    """Somebody else's file takes all the room that is left."""
    with open(file, "ab", buffering=0) as out, contextlib.suppress(OSError):
        while True:
            out.write(b"." * 65536)


def entry(n, text):
    return {"v": 1, "id": f"01ARZ3NDEKTSV4RRFFQ6{n:06d}", "at": "2026-11-25T09:00:00.000Z", "written": "2026-11-25T09:00:00.000Z",
            "by": "AB", "device": "page", "kind": "note", "data": {"text": text}}


class FullDisk(Base):
    def test_the_server_says_so_loses_nothing_and_goes_on_when_there_is_room(self):
        with small_disk(self.folder.parent / "disk", 24) as disk, served(disk / "data") as (process, address):
            browser = Browser(address)
            _, made = browser.json("POST", "/api/cases", {"title": "a full disk, invented"})
            case, acknowledged, refused = made["id"], [], None
            self.assertNotIn("warning", browser.json("GET", f"/api/cases/{case}")[1])
            fill(disk / "others")
            for n in range(2000):
                text = f"{n} " + "x" * 9000
                status, answer = browser.json("POST", f"/api/cases/{case}/entries", {"entries": [entry(n, text)]})
                if status != 200:
                    refused = n, status, answer
                    break
                self.assertIn("seq", answer["entries"][0])
                acknowledged.append(text)
            # The reserve carried some, and the screens were told before it was used up.
            self.assertGreater(len(acknowledged), 20)
            self.assertIsNotNone(refused, "the disk never filled")
            self.assertEqual(refused[1], 503, refused)
            self.assertIn("the disk is full", refused[2]["error"]["what"])
            self.assertIn("make room", refused[2]["error"]["to_do"])
            # A picture is refused as well, in one sentence; the server lives, and still shows what it took.
            reply, data = browser.ask("POST", f"/api/images?case={case}", b"x" * 2_000_000, "application/octet-stream")
            self.assertGreaterEqual(reply.status, 400)
            self.assertTrue(json.loads(data)["error"]["what"])
            self.assertIsNone(process.poll())
            self.assertEqual(self.notes(browser, case), acknowledged)
            (disk / "others").unlink()
            status, answer = browser.json("POST", f"/api/cases/{case}/entries", {"entries": [entry(refused[0], "sent again")]})
            self.assertEqual(status, 200, answer)
            self.assertEqual(self.notes(browser, case), [*acknowledged, "sent again"])
            process.kill()
            process.wait(10)
            checked = run("verify", case, "--data", disk / "data")
            self.assertEqual(checked.returncode, 0, checked.stderr)
            self.assertIn("sent again", run("journal", case, "--data", disk / "data", "--json").stdout)

    def notes(self, browser, case):
        journal = browser.json("GET", f"/api/cases/{case}")[1]["journal"]
        return [line["data"]["text"] for line in journal if line["kind"] == "note"]


class BrokenOff(Base):
    def test_an_import_stopped_by_the_keyboard_keeps_whole_runs_only(self):
        folder = self.folder.parent / "phantom"
        self.assertEqual(run("phantom", "xa", "-o", folder, seconds=240).returncode, 0)
        files = sorted(folder.glob("*.dcm"))
        again = [self.another(files[n % len(files)], n) for n in range(24)]
        case = self.new_case()
        process = subprocess.Popen([PROGRAM, "image", "import", case, *again, "--data", self.folder, "--json"],
                                   stdout=subprocess.PIPE, stderr=subprocess.PIPE, text=True)
        until = time.monotonic() + 60
        while time.monotonic() < until and not list(self.folder.rglob("*.dcm")) and self.stored() < 2:
            time.sleep(0.02)
        process.send_signal(signal.SIGINT)
        out, err = process.communicate(timeout=20)
        self.assertNotIn(process.returncode, (0, -signal.SIGINT), "it ends by itself, and says that it was stopped")
        self.assertIn("stopped", out + err)
        # What was acknowledged is there, whole, and no more than that; the rest comes in later.
        shown = json.loads(run("case", "show", case, "--data", self.folder, "--json").stdout)
        there = [line for line in shown["journal"] if line["kind"] == "image"]
        self.assertLess(len(there), len(again))
        self.assertEqual(run("verify", case, "--data", self.folder).returncode, 0)
        rest = run("image", "import", case, *again, "--data", self.folder, "--json", seconds=240)
        self.assertEqual(rest.returncode, 0, rest.stderr)
        taken = json.loads(rest.stdout)["images"]
        self.assertEqual(sum(1 for each in taken if each.get("again")), len(there))

    def stored(self):
        return sum(1 for file in self.folder.rglob("*") if file.is_file() and file.stat().st_size > 100_000)

    def another(self, file, n):
        """The same run under another hash: one byte of its preamble, which means nothing, differs."""
        copy = self.folder.parent / f"run-{n:02d}.dcm"
        data = bytearray(file.read_bytes())
        data[n] = 1
        copy.write_bytes(bytes(data))
        return copy


if __name__ == "__main__":
    unittest.main(verbosity=1)
