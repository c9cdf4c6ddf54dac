#!/usr/bin/env python3
# SPDX-License-Identifier: Apache-2.0
"""ivus_test.py PROGRAM   a pullback's file as other programs see it, against the truth that its generator wrote."""
import json
import math
import pathlib
import tempfile
import unittest

from program import Base, Browser, run, served


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
        file, _ = phantom(self.folder, "--scene", "plaque", "--frames", 24, "--seed", 32, "--grade", "clean")
        answer = self.read(file, "--far", "outside")
        self.assertEqual(answer["joining"]["title"], "near wire in plaque, far wire outside")
        self.assertTrue(answer["joining"]["far"]["by_reader"])

    def test_a_point_pulls_the_border_and_its_neighbours_follow(self):
        file, _ = phantom(self.folder, "--scene", "open", "--frames", 12, "--seed", 5)
        before = self.read(file)["sections"]
        wanted = before[6]["eem_mm"][32] + 0.3
        marks = pathlib.Path(self.folder) / "marks.json"
        marks.write_text(json.dumps({"corrections": [{"border": "media", "frame": 6, "angle_deg": 90, "distance_mm": wanted}]}))
        after = self.read(file, "--marks", marks)["sections"]
        self.assertAlmostEqual(after[6]["eem_mm"][32], wanted, delta=0.1)
        self.assertGreater(after[7]["eem_mm"][32], before[7]["eem_mm"][32] + 0.05)
        self.assertAlmostEqual(after[6]["eem_mm"][96], before[6]["eem_mm"][96], delta=0.05)
        marks.write_text('{"corrections": [{"border": "wall"}]}')
        said = run("ivus", file, "--marks", marks)
        self.assertEqual(said.returncode, 1)
        self.assertIn("none of \"lumen\", \"media\" and \"stent\"", said.stderr)

    def test_a_phantom_is_as_large_as_asked_for(self):
        file, _ = phantom(self.folder, "--frames", 2, "--size", 512)
        self.assertGreater(file.stat().st_size, 2 * 512 * 512)
        answer = self.read(file)
        self.assertAlmostEqual(answer["pixel_mm"][0], 10.0 / 512, places=6)
        self.assertNotEqual(run("phantom", "ivus", "--size", 12, "-o", self.folder).returncode, 0)

    def test_a_file_that_ends_early_says_so(self):
        file, _ = phantom(self.folder, "--frames", 20)
        cut = pathlib.Path(self.folder) / "cut.dcm"
        cut.write_bytes(file.read_bytes()[: file.stat().st_size // 2])
        answer = self.read(cut)
        self.assertLess(answer["frames"], 20)
        self.assertIn(f"only {answer['frames']} of 20 frames are there", answer["remarks"][0])
        self.assertIn("note: " + answer["remarks"][0], run("ivus", cut).stdout)

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


class OverHttp(Base):
    def test_the_same_reading_as_on_the_command_line(self):
        file, _ = phantom(self.folder.parent / "phantom", "--scene", "plaque", "--frames", 16, "--seed", 31)
        told = json.loads(run("ivus", file, "--json").stdout)
        case = self.new_case()
        with served(self.folder) as (_, address):
            browser = Browser(address)
            _, data = browser.ask("POST", f"/api/images?case={case}", file.read_bytes(), "application/octet-stream")
            image = json.loads(data)["image"]["hash"]
            status, answer = browser.json("POST", "/api/pullback", {"image": image})
            self.assertNotEqual(answer.pop("number"), told.pop("number"))  # of this reading
            self.assertEqual((status, answer), (200, told))
            status, marked = browser.json("POST", "/api/pullback", {"image": image, "far": "outside", "borders": False})
            self.assertEqual((status, marked["joining"]["far"]["by_reader"]), (200, True))
            self.assertNotIn("lumen_mm", marked["sections"][0])
            status, refused = browser.json("POST", "/api/pullback", {"image": image, "corrections": [{"border": "lumen", "frame": 99, "angle_deg": 0, "distance_mm": 1}]})
            self.assertEqual((status, refused["error"]["what"] if "error" in refused else refused["what"]), (400, "a correction lies outside the pullback"))
            self.assertEqual(browser.json("POST", "/api/pullback", {"image": "00"})[0], 404)

    def test_points_outlive_the_program_and_two_screens_do_not_overwrite_each_other(self):
        file, _ = phantom(self.folder.parent / "phantom", "--scene", "open", "--frames", 8, "--seed", 5)
        case = self.new_case()
        marks = {"pixel_mm": 0.025, "corrections": [{"border": "media", "frame": 6, "angle_deg": 90, "distance_mm": 1.9}]}
        with served(self.folder) as (_, address):
            browser = Browser(address)
            _, data = browser.ask("POST", f"/api/images?case={case}", file.read_bytes(), "application/octet-stream")
            path = f"/api/pullback/{json.loads(data)['image']['hash']}/marks"
            self.assertEqual(browser.json("GET", path)[1]["version"], 0)
            status, kept = browser.json("POST", path, {"after": 0, "by": "AB", "marks": marks})
            self.assertEqual((status, kept["version"], kept["by"]), (200, 1, "AB"))
            self.assertEqual(browser.json("POST", path, {"after": 0, "by": "CD", "marks": {}})[0], 409)
            beyond = {"corrections": [{"border": "media", "frame": 8, "angle_deg": 90, "distance_mm": 1.9}]}
            self.assertEqual(browser.json("POST", path, {"after": 1, "by": "CD", "marks": beyond})[0], 400)
        with served(self.folder) as (_, address):
            again = Browser(address).json("GET", path)[1]
            self.assertEqual((again["version"], again["marks"]["corrections"]), (1, marks["corrections"]))
            self.assertRegex(again["recorded"], r"^\d{4}-\d\d-\d\dT")


if __name__ == "__main__":
    unittest.main()
