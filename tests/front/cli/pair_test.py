#!/usr/bin/env python3
# SPDX-License-Identifier: Apache-2.0
"""pair_test.py PROGRAM   two synthetic runs measured together as other programs do it, against the generator's truth."""
import json
import math
import pathlib
import random
import tempfile
import unittest

from program import Base, Browser, run, served


def along(points):
    return sum(math.dist(a, b) for a, b in zip(points, points[1:]))


class TwoViews(Base):
    @classmethod
    def setUpClass(cls):
        cls.place = tempfile.TemporaryDirectory()
        cls.runs = pathlib.Path(cls.place.name)
        said = run("phantom", "xa", "-o", cls.runs, "--scene", "short-right", "--seed", 7, "--grade", "clean")
        assert said.returncode == 0, said.stderr
        cls.truth = json.loads((cls.runs / "truth.json").read_text())

    @classmethod
    def tearDownClass(cls):
        cls.place.cleanup()

    def points(self, click_sd, first=0, second=1):
        """What a reader marks: both caps, the vessel beside them and three branches, each click a little off."""
        draw = random.Random(11)
        runs = {"a": self.truth["runs"][first], "b": self.truth["runs"][second]}
        occlusion = self.truth["occlusion"]
        vessel = next(v for v in self.truth["vessels"] if v["name"] == occlusion["vessel"])
        nodes = vessel["centreline_mm"]
        near, far = (min(range(len(nodes)), key=lambda i: math.dist(nodes[i], occlusion[cap])) for cap in ("proximal_cap_mm", "distal_cap_mm"))

        def click(key, name, i):
            path = next(v for v in runs[key]["vessels"] if v["name"] == name)["path_px"]
            return [draw.gauss(place, click_sd) for place in path[i]]

        def both(name, i):
            return {key: click(key, name, i) for key in runs}

        def line(places):
            return {key: [click(key, vessel["name"], i) for i in places] for key in runs}

        branches = [v["name"] for v in self.truth["vessels"] if v["kind"] == "artery" and v["name"] != vessel["name"]][:4]
        return {
            "frames": {"a": {"run": "A", "frame": 10}, "b": {"run": "B", "frame": 10}},
            "table": "still",
            "marks": [{"name": f"origin of {name}", "at": both(name, 0)} for name in branches],
            "occlusion": {"near_cap": both(vessel["name"], near), "far_cap": both(vessel["name"], far),
                          "before": line(range(near - 25, near - 2, 4)), "after": line(range(far + 3, far + 25, 4))},
            "click_sd_px": 1,
        }

    def measure(self, points, first=0, second=1):
        file = self.runs / "points.json"
        file.write_text(json.dumps(points))
        return run("xa", "pair", *(self.runs / self.truth["runs"][i]["file"] for i in (first, second)), file, "--json")

    def test_the_occlusions_length_is_within_its_own_spread_of_the_truth(self):
        said = self.measure(self.points(0.5))
        self.assertEqual(said.returncode, 0, said.stderr)
        answer = json.loads(said.stdout)
        length = answer["occlusion"]["length_mm"]
        off = length["value"] - along(self.truth["occlusion"]["course_mm"])
        self.assertLessEqual(abs(off), 2.5 * length["sd"])
        self.assertLessEqual(abs(off), 1.2)
        self.assertEqual(answer["occlusion"]["method"], "two views")
        parts = math.sqrt(sum(part["sd"] ** 2 for part in length["parts"]))
        self.assertAlmostEqual(parts, length["sd"], delta=0.02)

    def test_the_angle_between_the_views_is_that_under_which_the_points_see_the_sources(self):
        sources = []
        for one in self.truth["runs"][:2]:
            primary, secondary = math.radians(one["primary_deg"]), math.radians(one["secondary_deg"])
            beam = (math.sin(primary) * math.cos(secondary), -math.cos(primary) * math.cos(secondary), math.sin(secondary))
            sources.append([-one["sod_mm"] * part for part in beam])
        points = self.points(0.0)
        branches = {mark["name"].removeprefix("origin of ") for mark in points["marks"]}
        places = [v["centreline_mm"][0] for v in self.truth["vessels"] if v["name"] in branches]
        places += [self.truth["occlusion"][cap] for cap in ("proximal_cap_mm", "distal_cap_mm")]
        widest = 0.0
        for place in places:
            a, b = ([s - p for s, p in zip(source, place)] for source in sources)
            widest = max(widest, math.degrees(math.acos(sum(x * y for x, y in zip(a, b)) / math.hypot(*a) / math.hypot(*b))))
        answer = json.loads(self.measure(points).stdout)
        self.assertAlmostEqual(answer["between_deg"], widest, delta=0.3)

    def test_a_view_against_itself_is_not_measured_in_space(self):
        said = self.measure(self.points(0.5, 0, 0), 0, 0)
        if said.returncode == 0:
            answer = json.loads(said.stdout)
            self.assertFalse(answer["in_space"])
        else:
            self.assertIn("15 degrees", said.stderr)

    def test_what_is_wrong_with_the_points_is_said_in_one_sentence(self):
        for wrong in ({}, {"frames": {}}, {"frames": {"a": {"run": "C", "frame": 0}}}, {"frames": {"a": {"run": "A", "frame": 9999}, "b": {"run": "B", "frame": 0}}}):
            said = self.measure(wrong)
            self.assertIn(said.returncode, (1, 2), wrong)
            self.assertEqual(said.stdout, "", wrong)
            self.assertEqual(said.stderr.strip().count("\n"), 0, said.stderr)

    def test_the_same_answer_over_http(self):
        points = self.points(0.5)
        told = json.loads(self.measure(points).stdout)
        case = self.new_case()
        with served(self.folder) as (_, address):
            browser = Browser(address)
            for key, one in (("a", 0), ("b", 1)):
                file = self.runs / self.truth["runs"][one]["file"]
                _, data = browser.ask("POST", f"/api/images?case={case}", file.read_bytes(), "application/octet-stream")
                points["frames"][key] = {"image": json.loads(data)["image"]["hash"], "frame": 10}
            status, answer = browser.json("POST", "/api/pair/measure", points)
            self.assertEqual((status, answer["occlusion"]), (200, told["occlusion"]))
            status, guide = browser.json("POST", "/api/pair/guide", {**points, "from": "a", "to": "b", "point": points["occlusion"]["near_cap"]["a"]})
            self.assertEqual(status, 200, guide)
            # The same cap in the other picture lies on that line, within the click and the line's stated sd.
            (x, y), (ax, ay), (bx, by) = points["occlusion"]["near_cap"]["b"], guide["from"], guide["to"]
            off = abs((bx - ax) * (y - ay) - (by - ay) * (x - ax)) / math.hypot(bx - ax, by - ay)
            self.assertLessEqual(off, 3 * math.hypot(guide["sd_px"], 1))


if __name__ == "__main__":
    unittest.main()
