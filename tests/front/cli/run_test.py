#!/usr/bin/env python3
# SPDX-License-Identifier: Apache-2.0
"""run_test.py PROGRAM   the log bar and the run from the command line, and the calculators, as other programs see them."""
import json
import math
import os
import subprocess
import sys
import tempfile
import unittest

PROGRAM = os.path.abspath(sys.argv.pop(1))


def run(*words):
    return subprocess.run([PROGRAM, *map(str, words)], capture_output=True, text=True, timeout=60)


class Calculators(unittest.TestCase):
    def test_egfr_is_the_published_equation(self):  # N Engl J Med 2021;385:1737-1749, written out here
        told = json.loads(run("egfr", "--creatinine", "1.10mg/dL", "--age", 67, "--sex", "female", "--json").stdout)
        self.assertAlmostEqual(told["egfr"], 142 * (1.10 / 0.7) ** -1.2 * 0.9938**67 * 1.012, places=9)
        self.assertEqual(told["equation"], "CKD-EPI 2021 creatinine")
        micro = json.loads(run("egfr", "--creatinine", "97umol/L", "--age", 67, "--sex", "female", "--json").stdout)
        self.assertAlmostEqual(micro["creatinine_mg_dl"], 97 / 88.4, places=12)

    def test_contrast_is_a_gradient(self):
        told = json.loads(run("contrast", "--creatinine", "1.2mg/dL", "--age", 70, "--sex", "male", "--weight", "80kg", "--contrast", "250mL", "--iodine", 320, "--json").stdout)
        self.assertAlmostEqual(told["contrast_to_egfr"], 3.842807942, places=6)
        self.assertAlmostEqual(told["contrast_to_clearance"], 3.857142857, places=8)
        self.assertAlmostEqual(told["iodine_g_to_egfr"], 1.229698541, places=6)
        self.assertEqual(told["weight_rule_ml"], 300)
        self.assertNotIn('"safe"', json.dumps(told))

    def test_heparin_forecasts_with_an_interval(self):  # R 4.2, tests/reasoning/budget/heparin_reference.R
        told = json.loads(run("heparin", "--weight", "80kg", "--dose", "0:8000", "--act", "10:310", "--now", 10, "--target", 250, "--baseline", 130, "--json").stdout)
        self.assertAlmostEqual(told["likeliest"]["log_slope"], 0.192182054, places=5)
        self.assertAlmostEqual(told["minutes_to_target"]["p50"], 25.8, delta=0.25)

    def test_bad_input_is_one_sentence(self):
        for words in (("egfr", "--creatinine", "17", "--age", 60, "--sex", "male"), ("egfr", "--creatinine", "1.1", "--age", 12, "--sex", "male"),
                      ("heparin", "--weight", "80kg", "--dose", "0:8000", "--act", "10:36", "--now", 10)):
            done = run(*words)
            self.assertEqual(done.returncode, 1, done.stderr)
            self.assertEqual(done.stderr.count("\n"), 1)


class Log(unittest.TestCase):
    def setUp(self):
        self.folder = tempfile.TemporaryDirectory()
        self.case = run("case", "new", "--title", "invented", "--data", self.folder.name).stdout.strip()

    def tearDown(self):
        self.folder.cleanup()

    def log(self, text, at=None, *more):
        return run("log", self.case, text, "--data", self.folder.name, "--by", "AB", *(["--at", f"2026-03-04T{at}:00Z"] if at else []), *more)

    def taken(self, text, at=None, *more):
        done = self.log(text, at, *more)
        self.assertEqual(done.returncode, 0, done.stderr)
        return done.stdout

    def refused(self, text, at=None):
        done = self.log(text, at)
        self.assertEqual(done.returncode, 1, done.stdout)
        self.assertEqual(done.stderr.count("\n"), 1)
        return done.stderr

    def assess(self, at):
        return json.loads(run("assess", self.case, "--data", self.folder.name, "--at", f"2026-03-04T{at}:00Z", "--json").stdout)["run"]

    def test_nonsense_is_refused_without_another_number(self):
        told = self.refused("act 36")
        self.assertIn("36", told)
        for other in ("136", "236", "360"):
            self.assertNotIn(other, told)
        self.assertIn('did you mean "balloon"?', self.refused("ballon a 2.5mm"))
        self.assertIn("bare number", self.refused("contrast 40"))
        self.taken("start AW", "10:20")
        self.assertIn("no attempt was running", self.refused("stopped limit", "10:10"))

    def test_a_total_that_falls_is_asked_about_and_amended(self):
        self.taken("contrast =208", "10:00")
        self.assertIn("208 mL", self.refused("contrast =180", "10:10"))
        self.assertIn("amended", self.taken("amend contrast =180"))
        self.assertEqual(self.assess("10:30")["totals"]["contrast_ml"]["value"], 180)

    def test_undo_takes_back_ones_own_last_entry(self):
        self.taken("contrast +40", "10:00")
        self.taken("hep 8000", "10:01")
        self.assertIn("taken back: hep", self.taken("undo"))
        self.assertIsNone(self.assess("10:30")["totals"]["heparin_iu"])
        other = run("log", self.case, "undo", "--data", self.folder.name, "--by", "CD")
        self.assertEqual(other.returncode, 1)

    def test_a_late_entry_falls_in_its_place_and_any_moment_is_replayed(self):
        for at, text in (("10:00", "access femoral right 7F"), ("10:05", "guide a in 7F 90cm"), ("10:06", "wire a in polymer"), ("10:20", "start AW"), ("10:50", "switch ADR outside-plaque"),
                         ("10:40", "contrast +40"), ("10:10", "hep 8000"), ("10:15", "act 305")):
            self.taken(text, at)
        early, late = self.assess("10:30"), self.assess("11:00")
        self.assertEqual(early["active"]["strategy"], "AW")
        self.assertEqual(late["active"]["strategy"], "ADR")
        self.assertIsNone(early["totals"]["contrast_ml"])
        self.assertEqual([d["tag"] for d in late["in_body"]], ["", "g1", "w1"])
        self.assertEqual(sum(a["end"] is None for a in late["attempts"]), 1)

    def test_cautions_come_by_time_alone(self):
        for at, text in (("10:00", "access femoral"), ("10:01", "wire a in"), ("10:02", "hep 8000"), ("10:10", "act 360")):
            self.taken(text, at)
        ids = lambda at: {c["rule"] for c in self.assess(at)["cautions"]}
        self.assertNotIn("S-03", ids("10:39"))
        self.assertIn("S-03", ids("10:40"))
        since = [c["since"] for c in self.assess("11:30")["cautions"] if c["rule"] == "S-03"]
        self.assertEqual(since, ["2026-03-04T10:40:00.000Z"])

    def test_help_is_the_whole_grammar(self):
        told = run("log", "--help").stdout
        for verb in ("act", "hep", "contrast", "externalise", "perforation", "tick", "stent", "tip-in", "undo", "amend"):
            self.assertIn(verb, told)


class TwoRecorders(unittest.TestCase):
    """Through a running server: both entries are kept, numbered one after the other; one dose is not written twice unasked."""

    def setUp(self):
        self.folder = tempfile.TemporaryDirectory()
        self.case = run("case", "new", "--title", "invented", "--data", self.folder.name).stdout.strip()
        self.server = subprocess.Popen([PROGRAM, "serve", "--data", self.folder.name, "--port", "0"], stdout=subprocess.PIPE, text=True)
        self.server.stdout.readline()

    def tearDown(self):
        self.server.terminate()
        self.server.wait(30)
        self.server.stdout.close()
        self.folder.cleanup()

    def both(self, text):
        typed = [subprocess.Popen([PROGRAM, "log", self.case, text, "--data", self.folder.name, "--by", by], stdout=subprocess.PIPE, stderr=subprocess.PIPE, text=True) for by in ("AB", "CD")]
        return [(process.communicate(timeout=60), process.returncode) for process in typed]

    def test_at_once(self):
        for _ in range(3):
            self.assertEqual([code for _, code in self.both("wire a in")], [0, 0])
        told = json.loads(run("assess", self.case, "--data", self.folder.name, "--json").stdout)["run"]
        self.assertEqual([d["tag"] for d in told["in_body"]], ["w1", "w2", "w3", "w4", "w5", "w6"])
        doses = self.both("hep 8000")
        self.assertEqual(sorted(code for _, code in doses), [0, 1])
        asked = next(text for (_, text), code in doses if code)
        self.assertIn("the same dose stands at", asked)
        self.assertIn("--confirm", asked)
        self.assertEqual(run("log", self.case, "hep 8000", "--data", self.folder.name, "--by", "CD", "--confirm").returncode, 0)
        told = json.loads(run("assess", self.case, "--data", self.folder.name, "--json").stdout)["run"]
        self.assertEqual(told["totals"]["heparin_iu"], 16000)
        refused = run("log", self.case, "act 36", "--data", self.folder.name)
        self.assertEqual((refused.returncode, refused.stderr.count("\n")), (1, 1))


if __name__ == "__main__":
    unittest.main()
