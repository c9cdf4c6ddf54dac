#!/usr/bin/env python3
# SPDX-License-Identifier: Apache-2.0
"""kit_test.py PROGRAM   the kit as other programs see it: fit, reach, import, label, shelf, tray, wires, support."""
import json
import math
import os
import pathlib
import random
import subprocess
import sys
import tempfile
import time
import unittest

PROGRAM = os.path.abspath(sys.argv.pop(1))


def run(*words, given=None):
    return subprocess.run([PROGRAM, "kit", *map(str, words)], capture_output=True, text=True, input=given, timeout=60)


def asked(*words, given=None):
    said = run(*words, "--json", given=given)
    assert said.returncode == 0, said.stderr
    return json.loads(said.stdout)


class Fit(unittest.TestCase):
    def test_kinds_are_answered_before_any_device_is_named(self):
        # Shafts of the invented shelf: 1.06 and 0.93 mm side by side need 1.99, the guides have 2.057 and 1.981 mm.
        answer = asked("fit", "--lumen", "this 7 French guide", "the ultrasound catheter", "microcatheter")
        self.assertEqual(answer["counts"], {"fits": 2, "tight": 11, "no": 7, "unknown": 0})
        rows = {(row["host"], tuple(row["items"])): row["margin_mm"] for row in answer["combinations"]}
        margins = {host: margin for (host, items), margin in rows.items() if items[0] == "IV-R" and items[1].startswith("MC-A")}
        self.assertEqual(len(margins), 2)
        self.assertAlmostEqual(min(margins.values()), 1.981 - 1.99, places=6)
        self.assertAlmostEqual(max(margins.values()), 2.057 - 1.99, places=6)
        # A French size alone is a guide's outside, never its lumen.
        bare = asked("fit", "--lumen", "7F", "1.06mm", "0.93mm")
        self.assertEqual(sorted(round(row["lumen_mm"], 3) for row in bare["combinations"]), [1.981, 2.057])

    def test_circles_lie_inside_the_least_lumen_without_overlap(self):
        draw = random.Random(6)
        for trial in range(20):
            sizes = [round(draw.uniform(0.3, 1.1), 2) for _ in range(draw.randint(1, 6))]
            answer = asked("fit", "--lumen", "2.30mm", *(f"{size}mm" for size in sizes))
            radius = answer["smallest_lumen_mm"] / 2
            places = answer["positions"]
            self.assertEqual([place["diameter_mm"] for place in places], sizes)
            for i, a in enumerate(places):
                self.assertLessEqual(math.hypot(a["x_mm"], a["y_mm"]) + a["diameter_mm"] / 2, radius + 1e-6, trial)
                for b in places[:i]:
                    apart = math.hypot(a["x_mm"] - b["x_mm"], a["y_mm"] - b["y_mm"])
                    self.assertGreaterEqual(apart, (a["diameter_mm"] + b["diameter_mm"]) / 2 - 1e-6, trial)
            self.assertAlmostEqual(answer["margin_mm"], 2.30 - answer["smallest_lumen_mm"], places=6)

    # Descartes' circle theorem, Nature 1936;137:1021; two equal shafts and a free wire.
    def test_published_forms(self):
        k = [2 / 1.06, 2 / 0.93, 2 / 0.83]
        outer = -(sum(k) - 2 * math.sqrt(k[0] * k[1] + k[1] * k[2] + k[2] * k[0]))
        answer = asked("fit", "--lumen", "2.057mm", "1.06mm", "0.93mm", "0.83mm")
        self.assertAlmostEqual(answer["smallest_lumen_mm"], 2 / outer, places=6)
        free = asked("fit", "--lumen", "0.071in", "0.9mm", "0.9mm", "0.014in")
        self.assertAlmostEqual(free["smallest_lumen_mm"], 1.8, places=6)
        self.assertEqual(free["verdict"], "tight")

    def test_order_decides_and_the_worst_pairing_is_named(self):
        answer = asked("fit", "--lumen", "GC-6A 100", "BA-S25", "ST-300x38")
        self.assertEqual((answer["verdict"], answer["order"]), ("fits", ["ST-300x38", "BA-S25"]))
        wrong = asked("fit", "--lumen", "GC-6A 100", "BA-S25", "ST-300x38", "--as-given")
        self.assertEqual(wrong["verdict"], "no")
        self.assertEqual([each["section"] for each in wrong["worst"]], ["distal shaft", "stent"])

    def test_an_ultrasound_catheter_beside_a_microcatheter_in_a_7_french_guide(self):
        said = run("fit", "--lumen", "GC-7A 100", "IV-R", "MC-A 135").stdout
        self.assertIn("tight, 0.067 mm to spare", said)
        self.assertIn("in this order", said)

    def test_input_that_is_wrong_says_what_to_do(self):
        for words, part in ((["--lumen", "1.8mm", "2.6"], "it has no unit"), (["--lumen", "1.8mm", "MC-A 13"], "MC-A 135"),
                            (["--lumen", "1.8mm", "18G"], "gauge"), (["--lumen", "0mm", "2F"], "above 0"), (["--lumen", "-1mm", "2F"], "neither a size")):
            said = run("fit", *words)
            self.assertEqual(said.returncode, 1, words)
            self.assertIn(part, said.stderr)
        self.assertEqual(run("fit", "2.6F").returncode, 2)


class Reach(unittest.TestCase):
    def reach(self, route):
        return asked("reach", "-", given=json.dumps(route))

    def test_the_retrograde_way_and_what_runs_out_first(self):
        septal = [{"name": "left main and LAD", "length_cm": 5}, {"name": "septal", "length_cm": 7}, {"name": "PDA", "length_cm": 4}, {"name": "RCA", "length_cm": 13}]
        answer = self.reach({"valve_cm": 9, "guide_cm": 100, "segments": septal, "into_other_guide_cm": 3, "devices": ["MC-A 135", "MC-A 150"]})
        self.assertEqual(answer["need_cm"]["value"], 141)
        self.assertEqual([each["reserve_cm"] for each in answer["devices"]], [-6, 9])
        self.assertEqual([each["verdict"] for each in answer["devices"]], ["short", "ok"])
        self.assertEqual(answer["runs_out_first"]["name"], "MC-A 135")

    def test_a_wire_is_snared_only_if_it_can_be_brought_out(self):
        answer = self.reach({"valve_cm": 9, "guide_cm": 100, "externalise": {"microcatheter_cm": 150, "antegrade_guide_cm": 100, "antegrade_valve_cm": 9, "wires": [300, 340]}})
        out = answer["externalise"]
        self.assertEqual((out["parked_cm"], out["at_guide_tip_cm"], out["clear_of_lesion_cm"]), (299, 309, 334))
        self.assertEqual([wire["may_be_snared"] for wire in out["wires"]], [False, True])

    def test_what_is_missing_is_asked_for(self):
        said = run("reach", "-", given=json.dumps({"segments": [{"name": "some vessel"}], "guide_cm": 100}))
        self.assertEqual(said.returncode, 1)
        self.assertIn("some vessel", said.stderr)
        self.assertEqual(run("reach", "-", given="{").returncode, 1)


class Lists(unittest.TestCase):
    def test_a_list_of_fifty_thousand_lines_is_previewed(self):
        with tempfile.TemporaryDirectory() as folder:
            file = pathlib.Path(folder) / "list.csv"
            lines = ["name;class;od_prox;od_dist;lumen_in;usable_cm;count;lot;expires"]
            lines += [f"D{i};microcatheter;2,8 Fr;0,87;0,017;135;1;L{i};2027-12-31" for i in range(50000)]
            lines[25000] = "odd;spoon;;;;;;;"
            file.write_text("\ufeff" + "\r\n".join(lines), encoding="utf-8")
            started = time.monotonic()
            said = run("import", file)
            self.assertEqual(said.returncode, 0, said.stderr)
            self.assertIn("50000 lines read (UTF-8, ';'): 49999 taken", said.stdout)
            self.assertIn("line 25001", said.stdout)
            self.assertLess(time.monotonic() - started, 20)

    def test_a_need_finds_devices(self):
        found = asked("shelf", "microcatheter", "lumen>=0.4mm", "usable>=150cm")["devices"]
        self.assertTrue(found)
        for device in found:
            self.assertGreaterEqual(device["lumen_mm"], 0.4)
            self.assertGreaterEqual(device["usable_cm"], 150)

    # GS1 General Specifications and GS1 Syntax Dictionary: element strings, check digits, days of 00.
    def test_labels(self):
        label = asked("label", "01095201234567881728020010LOT17", "--on", "2026-11-25")
        self.assertEqual((label["gtin"], label["lot"], label["expires"]), ("09520123456788", "LOT17", "2028-02-29"))
        self.assertIn("8 is expected", run("label", "010952012345678117271231").stderr)

    def test_a_tray_marks_what_is_missing_and_wires_stand_soft_to_stiff(self):
        tray = asked("tray", "AW", "ADR", "RDR", "--target", "RCA", "--channel", "septal", "--vessel", "3.0mm", "--on", "2026-11-25")
        self.assertEqual({guide["side"] for guide in tray["guides"]}, {"antegrade", "retrograde"})
        self.assertTrue(all(need["state"] in ("ready", "doubtful", "missing") for need in tray["needs"] + tray["bailout"]))
        loads = [wire["pressure_mpa"] for wire in asked("wires")["wires"] if "pressure_mpa" in wire]
        self.assertEqual(loads, sorted(loads))
        self.assertTrue(asked("support")["remedies"])


class Lab(unittest.TestCase):
    def test_a_kept_list_is_the_labs_shelf(self):
        with tempfile.TemporaryDirectory() as folder:
            file = pathlib.Path(folder) / "list.csv"
            rows = [f"G{i},guide,2.37,0.081 in,100,1" for i in range(3000)]
            file.write_text("name,class,od,lumen,length,count\n" + "\n".join(rows) + "\nMine,microcatheter,0.93,0.41,135,1\n")
            data = pathlib.Path(folder) / "data"
            self.assertEqual(run("import", file, "--keep", "--by", "AB", "--data", data).returncode, 0)
            self.assertEqual(len(asked("shelf", "--data", data)["devices"]), 3001)
            self.assertEqual(asked("fit", "--lumen", "G2999", "Mine", "--data", data)["verdict"], "fits")
            small = pathlib.Path(folder) / "small.csv"
            small.write_text("name,class\nOnly,snare\n")
            self.assertEqual(run("import", small, "--keep", "--data", data).returncode, 0)
            self.assertEqual([each["name"] for each in asked("shelf", "--data", data)["devices"]], ["Only"])
            self.assertEqual(run("import", small, "--data", pathlib.Path(folder) / "none").returncode, 0)  # a preview writes nothing
            self.assertFalse((pathlib.Path(folder) / "none").exists())

    # The list is never written by a use: what is left is the list less what the journals say, and taken back it is there again.
    def test_a_label_in_the_log_makes_the_stock_fall(self):
        with tempfile.TemporaryDirectory() as folder:
            file, data = pathlib.Path(folder) / "list.csv", pathlib.Path(folder) / "data"
            file.write_text("name,class,usable,count,gtin,lot\nSlim,microcatheter,150,3,09520123456788,A1\n")
            self.assertEqual(run("import", file, "--keep", "--by", "AB", "--data", data).returncode, 0)

            def said(*words):
                done = subprocess.run([PROGRAM, *words, "--data", data, "--json"], capture_output=True, text=True, timeout=60)
                self.assertEqual(done.returncode, 0, done.stderr)
                return json.loads(done.stdout)

            def left():
                return asked("shelf", "--data", data)

            case = said("case", "new", "--title", "a scan, invented")["id"]
            said("log", case, "(01)09520123456788(10)A1")
            said("log", case, "mc r in (01)09520123456788(10)A1")
            self.assertEqual((left()["devices"][0]["count"], left()["devices"][0]["used"]), (1, 2))
            said("log", case, "undo")
            self.assertEqual(left()["devices"][0]["count"], 2)
            said("log", case, "(01)09521234543213")
            told = subprocess.run([PROGRAM, "journal", case, "--data", data], capture_output=True, text=True, timeout=60).stdout
            self.assertIn("provisional item 09521234543213, not on the shelf", told)
            self.assertEqual(left()["provisional"], [{"gtin": "09521234543213", "used": 1}])
            # A list kept now has counted what was used before it.
            self.assertEqual(run("import", file, "--keep", "--by", "AB", "--data", data).returncode, 0)
            self.assertEqual((left()["devices"][0]["count"], left()["devices"][0]["used"], left()["provisional"]), (3, 0, []))


if __name__ == "__main__":
    unittest.main()
