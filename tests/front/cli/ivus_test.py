#!/usr/bin/env python3
# SPDX-License-Identifier: Apache-2.0
"""ivus_test.py PROGRAM   a pullback's file as other programs see it, against the truth that its generator wrote."""
import json
import math
import os
import pathlib
import subprocess
import sys
import tempfile
import unittest

PROGRAM = os.path.abspath(sys.argv.pop(1))


def run(*words):
    return subprocess.run([PROGRAM, *map(str, words)], capture_output=True, text=True, timeout=120)


def phantom(folder, *words):
    said = run("phantom", "ivus", "-o", folder, *words)
    assert said.returncode == 0, said.stderr
    return pathlib.Path(folder) / "pullback.dcm", json.loads((pathlib.Path(folder) / "truth.json").read_text())


def area(border):
    """A polygon's, by the shoelace formula."""
    points = [(r * math.cos(2 * math.pi * i / len(border)), r * math.sin(2 * math.pi * i / len(border))) for i, r in enumerate(border)]
    return sum(a[0] * b[1] - b[0] * a[1] for a, b in zip(points, points[1:] + points[:1])) / 2


class Pullback(unittest.TestCase):
    def setUp(self):
        self.place = tempfile.TemporaryDirectory()
        self.folder = self.place.name

    def tearDown(self):
        self.place.cleanup()

    def read(self, *words):
        said = run("ivus", *words, "--json")
        self.assertEqual(said.returncode, 0, said.stderr)
        return json.loads(said.stdout)

    def test_borders_agree_with_the_truth_of_a_typical_pullback(self):
        file, truth = phantom(self.folder, "--scene", "open", "--frames", 24, "--seed", 5)
        answer = self.read(file)
        self.assertEqual(answer["frames"], 24)
        self.assertAlmostEqual(answer["speed_mm_s"], 1.0)
        for section, true in zip(answer["sections"], truth["frames"]):
            self.assertAlmostEqual(section["lumen_area_mm2"]["value"], area(section["lumen_mm"]), delta=0.01)
            self.assertAlmostEqual(section["lumen_area_mm2"]["value"] / true["lumen_area_mm2"], 1.0, delta=0.06)
            if section["eem_area_mm2"]:
                self.assertAlmostEqual(section["eem_area_mm2"]["value"] / true["eem_area_mm2"], 1.0, delta=0.06)
                burden = 1 - section["lumen_area_mm2"]["value"] / section["eem_area_mm2"]["value"]
                self.assertAlmostEqual(section["plaque_burden"]["value"], burden, delta=0.002)
        self.assertIsNone(answer["joining"])

    def test_two_wires_are_read_and_their_case_named(self):
        for scene, title in (("plaque", "both wires in plaque"), ("plaque-far-outside", "near wire in plaque, far wire outside")):
            file, truth = phantom(self.folder, "--scene", scene, "--frames", 24, "--seed", 31, "--grade", "clean")
            answer = self.read(file)
            frame = answer["thinnest"]
            true, found = truth["frames"][frame], answer["sections"][frame]
            away = (found["second_wire"]["angle_deg"] - true["far_wire"]["angle_deg"] + 180) % 360 - 180
            self.assertLessEqual(abs(away), 5, scene)
            self.assertIn(title.split(", ")[-1].split()[-1], answer["joining"]["title"], answer["joining"]["title"])

    def test_the_readers_mark_wins(self):
        file, _ = phantom(self.folder, "--scene", "plaque", "--frames", 24, "--seed", 31, "--grade", "clean")
        answer = self.read(file, "--far", "outside")
        self.assertEqual(answer["joining"]["title"], "near wire in plaque, far wire outside")
        self.assertTrue(answer["joining"]["far"]["by_reader"])

    def test_missing_calibration_is_said_and_asked_for(self):
        file, _ = phantom(self.folder, "--frames", 6, "--uncalibrated")
        said = run("ivus", file)
        self.assertEqual(said.returncode, 1)
        self.assertIn("how large a pixel is", said.stderr)
        self.assertIn("--pixel", said.stderr)
        self.assertEqual(self.read(file, "--pixel", "0.025mm")["pixel_from"], "typed")

    def test_other_files_get_one_sentence(self):
        other = pathlib.Path(self.folder) / "note.txt"
        other.write_text("no picture")
        for words in ((other,), (self.folder + "/none.dcm",), ("--pixel", "wide")):
            said = run("ivus", *words)
            self.assertIn(said.returncode, (1, 2, 3), words)
            self.assertNotEqual(said.stderr, "")
            self.assertEqual(said.stdout, "")

    def test_a_reading_in_words(self):
        file, _ = phantom(self.folder, "--frames", 12, "--seed", 31)
        said = run("ivus", file)
        self.assertEqual(said.returncode, 0, said.stderr)
        for words in ("pixel 0.0250 x 0.0250 mm (the file's ultrasound region)", "thinnest tissue at frame", "sizes the rule allows"):
            self.assertIn(words, said.stdout)


if __name__ == "__main__":
    unittest.main()
