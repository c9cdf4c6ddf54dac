#!/usr/bin/env python3
# SPDX-License-Identifier: Apache-2.0
"""commands_test.py PROGRAM   the program as other programs see it: exit statuses, JSON, the socket, broken files.

The answers are validated against the engine's own schema by python3-jsonschema (Debian), an implementation of JSON Schema
draft 2020-12 from outside the project."""
import contextlib
import json
import os
import pathlib
import random
import signal
import time
import unittest

import jsonschema
from program import Base, Browser, run, served


class ExitStatuses(Base):
    def test_the_command_line_is_wrong(self):
        self.refused(run(), 2)
        self.refused(run("nonsense"), 2)
        self.refused(run("score"), 2)
        self.refused(run("serve", "--listen", "0.0.0.0:8420", "--data", self.folder), 2, "needs TLS", "fairlead certificate")
        self.refused(run("score", "-", "--only", "j-cot", given="{}"), 2, 'did you mean "j-cto"?')

    def test_the_input_is_wrong(self):
        self.refused(run("score", self.folder / "none.json"), 1, "cannot be read")
        self.refused(run("score", "-", given="{"), 1)
        self.refused(run("score", "-", given='{"lenght_angio_mm": 20}'), 1, "length_angio_mm")
        self.refused(run("case", "show", "01NONE", "--data", self.folder), 1 if self.folder.exists() else 3)
        case = self.new_case()
        self.refused(run("log", case, "fakt ostial yes", "--data", self.folder), 1, 'did you mean "fact"?')
        self.refused(run("log", case, "fact length_angio_mm 1900", "--data", self.folder), 1, "out of range")
        self.refused(run("xa", "show", __file__), 1)

    def test_something_outside_failed(self):
        self.refused(run("case", "new", "--title", "x", "--data", "/proc/none"), 3)


class Json(Base):
    def test_each_command_prints_one_document(self):
        case = self.new_case()
        for text in ("fact length_angio_mm 19.2 ± 1.4 mm", "fact stump_angio blunt", "note seen twice", "fact ostial 0.3"):
            done = run("log", case, text, "--data", self.folder, "--json", "--by", "AB")
            self.assertEqual(done.returncode, 0, done.stderr)
            self.assertEqual(len(json.loads(done.stdout)["entries"]), 1)
        for words in (["facts"], ["case", "list"], ["case", "show", case], ["journal", case], ["verify", case],
                      ["assess", case], ["assess", case[:12], "--at", "2030-01-01T00:00:00Z", "--known"]):
            done = run(*words, "--data", self.folder, "--json")
            self.assertEqual(done.returncode, 0, (words, done.stderr))
            json.loads(done.stdout)
        entries = json.loads(run("journal", case, "--data", self.folder, "--json").stdout)["entries"]
        self.assertEqual([e["seq"] for e in entries], list(range(1, len(entries) + 1)))
        shown = json.loads(run("case", "show", case, "--data", self.folder, "--json").stdout)
        length = [f for f in shown["facts"] if f["name"] == "length_angio_mm"][0]
        self.assertEqual(length["value"], {"value": 19.2, "sd": 1.4})

    def test_the_past_knows_less(self):
        case = self.new_case()
        run("log", case, "fact stump_angio blunt", "--data", self.folder)
        before = json.loads(run("assess", case, "--at", "2001-01-01T00:00:00Z", "--data", self.folder, "--json").stdout)
        now = json.loads(run("assess", case, "--data", self.folder, "--json").stdout)
        self.assertIn("stump_angio", before["waiting"])
        self.assertNotIn("stump_angio", now["waiting"])

    def test_a_score_is_a_distribution(self):
        # J-CTO: 1 point each for blunt stump, calcification, bend, length >= 20 mm, retry
        # (JACC Cardiovasc Interv 2011;4:213-221). Length 20.5 +- 1: P(> 20) = Phi(0.5) = 0.6915 (standard tables).
        facts = {"stump_angio": "tapered", "calcification_angio": "none", "bend_angio_deg": 10,
                 "length_angio_mm": {"value": 20.5, "sd": 1}, "previous_failed_attempts": 0}
        done = run("score", "-", "--only", "j-cto", "--json", given=json.dumps(facts))
        self.assertEqual(done.returncode, 0, done.stderr)
        totals = json.loads(done.stdout)["scores"][0]["totals"]
        self.assertAlmostEqual(totals["1"], 0.69146, places=4)


class Lab(Base):
    def test_the_newest_text_counts_until_it_is_withdrawn(self):
        file = pathlib.Path(self.scratch.name) / "shelf.json"
        words = ["--data", self.folder]
        self.assertEqual(json.loads(run("lab", "show", *words, "--json").stdout)["knowledge"], [])
        for version in ("1", "2"):
            file.write_text('{"invented": true,\n "version": %s}\n' % version)
            done = run("lab", "set", "shelf", file, "--owner", "head nurse", "--version", version, *words)
            self.assertEqual(done.returncode, 0, done.stderr)
        self.assertEqual(json.loads(run("lab", "show", "shelf", *words).stdout)["version"], 2)
        with served(self.folder) as (_, address):
            lab = Browser(address).json("GET", "/api/lab")[1]
            self.assertEqual([(t["name"], t["version"]) for t in lab["knowledge"]], [("shelf", "2")])
            done = run("lab", "withdraw", "shelf", "--reason", "wrong file", *words)
            self.assertEqual(done.returncode, 0, done.stderr)
        shown = json.loads(run("lab", "show", *words, "--json").stdout)["knowledge"]
        self.assertEqual([(t["version"], t["owner"], t["text"]["version"]) for t in shown], [("1", "head nurse", 1)])
        self.refused(run("lab", "show", "limits", *words), 1, "it knows shelf")
        self.refused(run("lab", "set", "Shelf!", file, *words), 1, "small letters")
        file.write_text("[1]")
        self.refused(run("lab", "set", "shelf", file, *words), 1, "shelf.json", "not an object")


class WithoutAServer(Base):
    def test_a_dose_report_is_taken_in_like_a_run(self):
        # tests/data/dicom/README.md: a report of three events, written with another toolkit.
        report = pathlib.Path(__file__).parents[2] / "data/dicom/rdsr/rdsr.dcm"
        case = self.new_case()
        for again in (False, True):
            done = run("image", "import", case, report, "--data", self.folder, "--json")
            self.assertEqual(done.returncode, 0, done.stderr)
            self.assertEqual(json.loads(done.stdout)["images"][0]["again"], again)
        self.assertEqual(run("journal", case, "--data", self.folder).stdout.count("dose report 1"), 1)
        neither = run("image", "import", case, __file__, "--data", self.folder)  # what a file is not is said of runs
        self.assertEqual(neither.returncode, 1)
        self.assertIn("not a DICOM file", neither.stderr)


class Serving(Base):
    def test_a_second_owner_is_refused_in_a_sentence(self):
        self.new_case()
        with served(self.folder) as (process, _):
            self.refused(run("serve", "--data", self.folder, "--port", "0"), 3, str(process.pid))

    def test_a_log_line_goes_through_the_running_program(self):
        case = self.new_case()
        with served(self.folder) as (_, address):
            done = run("log", case, "fact ostial yes", "--data", self.folder)
            self.assertEqual(done.returncode, 0, done.stderr)
            browser = Browser(address)
            _, shown = browser.json("GET", f"/api/cases/{case}")
            self.assertEqual(shown["journal"][-1]["device"], "command line")
            self.assertEqual(run("case", "new", "--title", "y", "--data", self.folder).returncode, 0)
            again = run("address", "--data", self.folder)
            self.assertEqual(again.returncode, 0, again.stderr)
            Browser(again.stdout.strip())

    def test_it_ends_in_order_on_sigterm(self):
        with served(self.folder) as (process, _):
            start = time.monotonic()
            process.send_signal(signal.SIGTERM)
            self.assertEqual(process.wait(10), 0)
            self.assertLess(time.monotonic() - start, 3)
        self.assertFalse((self.folder / "fairlead.sock").exists())


class Contract(Base):
    """Every answer, as docs/wire.md and /api/schema have it, on a synthetic run."""

    def check(self, name, answer):
        schema = dict(self.schema, **{"$ref": f"#/$defs/{name}"})
        jsonschema.Draft202012Validator(schema).validate(answer)

    def test_answers_follow_the_schema(self):
        made = run("phantom", "xa", "-o", self.folder.parent / "phantom", "--json", seconds=240)
        self.assertEqual(made.returncode, 0, made.stderr)
        files = sorted((self.folder.parent / "phantom").glob("*.dcm"))
        self.assertTrue(files)
        case = self.new_case()
        with served(self.folder) as (_, address):
            browser = Browser(address)
            _, self.schema = browser.json("GET", "/api/schema")
            jsonschema.Draft202012Validator.check_schema(self.schema)
            for path, name in (("/api/version", "Version"), ("/api/facts", "Facts"), ("/api/sources", "Sources"),
                               ("/api/scores", "Definitions"), ("/api/cases", "Cases"), ("/api/lab", "Lab")):
                self.check(name, browser.json("GET", path)[1])
            status, new = browser.json("POST", "/api/cases", {"title": "x", "room": "2"})
            self.check("NewCase", new)
            reply, data = browser.ask("POST", f"/api/images?case={case}", files[0].read_bytes(), "application/octet-stream")
            self.assertEqual(reply.status, 200, data)
            imported = json.loads(data)
            self.check("Imported", imported)
            image = imported["image"]
            reply, frames = browser.ask("GET", f"/api/images/{image['hash']}/frames/0-1")
            self.assertEqual(len(frames), 2 * image["rows"] * image["columns"] * image["samples"] * image["bits"] // 8)
            self.assertIn("immutable", reply.getheader("Cache-Control"))
            status, size = browser.json("POST", "/api/measure/pixel-size", {"image": image["hash"]})
            self.assertEqual(status, 200, size)
            self.check("PixelSize", size)
            status, length = browser.json("POST", "/api/measure/length", {
                "image": image["hash"], "frame": 0, "points": [{"x": 100, "y": 100}, {"x": 200, "y": 200}],
                "pixel_size": {k: size[k] for k in ("mm_per_px", "sd_mm_per_px", "method")}})
            self.assertEqual(status, 200, length)
            self.check("Length", length)
            pixel = {k: size[k] for k in ("mm_per_px", "sd_mm_per_px", "method")}
            end = {"image": image["hash"], "frame": 0, "cap": {"x": 100, "y": 100}, "lumen": {"x": 80, "y": 90}}
            far = {"image": image["hash"], "frame": 1, "cap": {"x": 160, "y": 120}}
            status, gap = browser.json("POST", "/api/measure/gap", {"near": end, "far": far, "pixel_size": pixel})
            self.assertEqual(status, 200, gap)
            self.check("Gap", gap)
            self.assertIn("two frames of one run", gap["method"])
            status, refused = browser.json("POST", "/api/measure/gap", {"near": end, "far": {**far, "cap": {"x": 9999, "y": 1}}, "pixel_size": pixel})
            self.assertEqual((status, refused["error"]["where"]), (400, "far"))
            status, moments = browser.json("GET", f"/api/images/{image['hash']}/moments")
            self.assertEqual(status, 200, moments)
            self.check("Moments", moments)
            self.assertEqual(len(moments["contrast"]), image["frames"])
            entry = {"v": 1, "id": "01ARZ3NDEKTSV4RRFFQ69G5FAV", "at": "2026-11-25T09:00:00.000Z",
                     "written": "2026-11-25T09:00:00.000Z", "by": "AB", "device": "page", "kind": "fact",
                     "data": {"fact": "length_angio_mm", "value": length["length_mm"], "mark": "measured",
                              "origin": {"image": image["hash"], "frame": 0, "method": length["method"],
                                         "points": [{"x": 100, "y": 100}, {"x": 200, "y": 200}],
                                         "parts": length["parts"]}}}
            status, written = browser.json("POST", f"/api/cases/{case}/entries", {"entries": [entry]})
            self.assertEqual(status, 200, written)
            self.check("Entries", written)
            shown = browser.json("GET", f"/api/cases/{case}")[1]
            self.check("Case", shown)
            self.assertEqual([line["kind"] for line in shown["journal"]], ["case", "image", "fact", "shown"])
            self.check("Case", browser.json("GET", f"/api/cases/{case}/at/2026-11-25T09:00:00.000Z?known")[1])
            self.check("Assessment", browser.json("POST", "/api/assess", {"case": case, "facts": {"ostial": True}})[1])
            status, refused = browser.json("POST", "/api/assess", {"facts": {"ostal": True}})
            self.assertEqual(status, 400)
            self.check("Error", refused)

    def test_broken_files_do_not_end_the_server(self):
        made = run("phantom", "xa", "-o", self.folder.parent / "phantom", seconds=240)
        self.assertEqual(made.returncode, 0, made.stderr)
        good = sorted((self.folder.parent / "phantom").glob("*.dcm"))[0].read_bytes()
        case = self.new_case()
        chance = random.Random("broken files do not end the server")
        with served(self.folder) as (process, address):
            browser = Browser(address)
            head = good[:132]
            nested = head + b"\xfe\xff\x00\xe0\xff\xff\xff\xff" * 27000  # sequences without end, 216 KB
            broken = [b"", b"x", good[:400], good[: len(good) // 2], head, nested, head + os.urandom(4096)]
            for _ in range(12):
                mutated = bytearray(good[: 200_000 if len(good) > 200_000 else len(good)])
                for _ in range(40):
                    mutated[chance.randrange(132, min(3000, len(mutated)))] = chance.randrange(256)
                broken.append(bytes(mutated))
            for file in broken:
                reply, data = browser.ask("POST", f"/api/images?case={case}", file, "application/octet-stream")
                self.assertIn(reply.status, (200, 400, 413, 422), data[:300])
                if reply.status != 200:
                    self.assertTrue(json.loads(data)["error"]["what"])
            self.assertIsNone(process.poll())
            self.assertEqual(browser.ask("GET", "/healthz")[1], b"ok")

    def test_the_ladder_says_what_its_figures_rest_on_and_when_there_is_no_plan(self):
        model = {"strategies": [{"id": "AW", "can": 0.6, "mean_min": 12}], "budget": {"minutes": 30}}
        told = run("ladder", "--model", "-", given=json.dumps(model))
        self.assertEqual(told.returncode, 0, told.stderr)
        self.assertIn("AW", told.stdout)
        self.assertIn("responsible physician", told.stdout)
        model["budget"]["minutes"] = 0
        self.assertIn("no plan", run("ladder", "--model", "-", given=json.dumps(model)).stdout)
        self.assertEqual(run("ladder").returncode, 2)
        model["strategies"][0]["can"] = 1.2
        wrong = run("ladder", "--model", "-", given=json.dumps(model))
        self.assertEqual(wrong.returncode, 1)
        self.assertIn("can is not between 0 and 1", wrong.stderr)
        self.assertEqual(wrong.stderr.count("\n"), 1)

    # Own attempts: 40 invented ones. Proposed, then in force only once the lab has written it, and never counted twice.
    def test_what_is_learnt_is_proposed_and_counts_once_the_lab_accepts_it(self):
        words = ["--data", self.folder]
        nothing = run("ladder", "learn", "--proposal", *words)
        self.assertEqual(nothing.returncode, 0, nothing.stderr)
        self.assertEqual(json.loads(nothing.stdout), json.loads(run("ladder", "--print-priors").stdout))
        tries = [{"strategy": "AW", "minutes": 5 + i, "crossed": i % 4 != 0} for i in range(40)]
        rows = [{"case": f"old-{i}", "began": "2030-01-02T08:00:00Z", "by": "AB", "j_cto": 1, "tries": [one], "invented": True} for i, one in enumerate(tries)]
        past = self.folder.parent / "past.json"
        past.write_text(json.dumps({"cases": rows}))
        self.assertEqual(run("lab", "set", "past-cases", past, *words).returncode, 0)
        learnt = json.loads(run("ladder", "learn", "--json", *words).stdout)
        self.assertEqual((learnt["attempts"], learnt["invented"]), (40, 40))
        wiring = next(each for each in learnt["strategies"] if each["id"] == "AW")
        self.assertEqual((wiring["attempts"], wiring["crossed"]), (40, 30))
        proposed = self.folder.parent / "proposed.json"
        proposed.write_text(run("ladder", "learn", "--proposal", *words).stdout)
        in_force = json.loads(run("ladder", "--print-priors", *words).stdout)
        self.assertEqual(in_force["own_attempts"], 0)
        self.assertEqual(run("lab", "set", "priors", proposed, "--owner", "head of the lab", *words).returncode, 0)
        self.assertEqual(json.loads(run("ladder", "--print-priors", *words).stdout)["own_attempts"], 40)
        self.assertEqual(json.loads(run("ladder", "learn", "--proposal", *words).stdout), json.loads(proposed.read_text()))
        self.assertIn("responsible physician", run("ladder", "learn", *words).stdout)

    def test_a_run_comes_in_by_command_beside_a_server_and_without(self):
        folder = self.folder.parent / "phantom"
        self.assertEqual(run("phantom", "xa", "-o", folder, seconds=240).returncode, 0)
        files = sorted(folder.glob("*.dcm"))[:2]
        case = self.new_case()
        first = run("image", "import", case, files[0], "--data", self.folder, "--json", seconds=120)
        self.assertEqual(first.returncode, 0, first.stderr)
        with served(self.folder):
            second = run("image", "import", case, files[0], files[-1], __file__, "--data", self.folder, "--json", seconds=120)
        self.assertEqual(second.returncode, 1, second.stderr)  # this text is no image
        # The case as a document is the page's: its runs are described, beside a running program and without.
        for beside in (True, False):
            with served(self.folder) if beside else contextlib.nullcontext():
                shown = json.loads(run("case", "show", case, "--data", self.folder, "--json").stdout)
            self.assertEqual([image["image"]["rows"] for image in shown["images"]], [512, 512])
        taken = json.loads(second.stdout)["images"]
        self.assertTrue(taken[0]["again"])
        self.assertIn("refused", taken[-1])
        # A run that ends early is taken in as far as it goes, and that is said at once.
        whole = files[0].read_bytes()
        for beside, share in ((True, 0.5), (False, 0.7)):
            cut = folder / f"cut-{beside}.dcm"
            cut.write_bytes(whole[: int(share * len(whole))])
            with served(self.folder) if beside else contextlib.nullcontext():
                done = run("image", "import", case, cut, "--data", self.folder, "--json", seconds=120)
            self.assertEqual(done.returncode, 0, done.stderr)
            self.assertIn("ends early", json.loads(done.stdout)["images"][0]["warnings"][0])


if __name__ == "__main__":
    unittest.main(verbosity=1)
