#!/usr/bin/env python3
# SPDX-License-Identifier: Apache-2.0
"""ruler_test.py PROGRAM   the ruler from a DICOM file to a length, against the synthetic heart's own parameters.

What is true comes from truth.json: where the caps lie in the heart and how wide the catheter is. How the chord between the
caps looks in a view is worked out here, from the definition of the positioner's angles (DICOM PS3.3 C.8.7.5.1)."""
import json
import math
import unittest

from program import Base, Browser, run, served


def seen_share(run_truth, chord):
    """The share of a chord that is seen in a view: the sine of its angle with the central ray."""
    primary, secondary = (math.radians(run_truth[key]) for key in ("primary_deg", "secondary_deg"))
    # Patient's axes L, P, S; positive angles turn the detector to the patient's left and to the head.
    ray = (math.sin(primary) * math.cos(secondary), -math.cos(primary) * math.cos(secondary), math.sin(secondary))
    along = sum(a * b for a, b in zip(ray, chord)) / math.dist((0, 0, 0), chord)
    return math.sqrt(1 - along * along)


class Ruler(Base):
    def test_a_length_between_the_caps_is_true_within_its_stated_uncertainty(self):
        off = {"geometry": [], "catheter": []}
        for seed in (1, 2):
            folder = self.folder.parent / f"heart-{seed}"
            self.assertEqual(run("phantom", "xa", "-o", folder, "--seed", seed, seconds=240).returncode, 0)
            truth = json.loads((folder / "truth.json").read_text())
            caps = [truth["occlusion"][f"{end}_cap_mm"] for end in ("proximal", "distal")]
            chord = [b - a for a, b in zip(*caps)]
            self.assertAlmostEqual(math.dist(*caps), truth["occlusion"]["chord_mm"], delta=1e-3)
            data = self.folder.parent / f"data-{seed}"
            case = json.loads(run("case", "new", "--title", "a test", "--data", data, "--json").stdout)["id"]
            with served(data) as (_, address):
                browser = Browser(address)
                for one in truth["runs"]:
                    file = (folder / one["file"]).read_bytes()
                    _, body = browser.ask("POST", f"/api/images?case={case}", file, "application/octet-stream")
                    image = json.loads(body)["image"]["hash"]
                    expected = math.dist((0, 0, 0), chord) * seen_share(one, chord)
                    for how, found in self.lengths(browser, image, one):
                        off[how].append((found["value"] - expected) / found["sd"])
                        self.assertLess(found["sd"], 0.35 * found["value"] + 0.5, "a length with so wide an sd says nothing")
        for how, errors in off.items():
            self.assertGreaterEqual(len(errors), 4, how)
            self.assertLess(max(map(abs, errors)), 3, (how, errors))
        self.assertGreater(max(map(abs, off["geometry"])), 0.02, "errors of nothing: the truth did not come from outside")

    def lengths(self, browser, image, one):
        """The length between the caps at the end of diastole, with the scale by geometry and by each catheter."""
        cap = one["caps"][0]
        points = [{"x": x, "y": y} for x, y in (cap["proximal_px"], cap["distal_px"])]
        wishes = [("geometry", {"image": image})]
        for catheter in one["catheters"]:
            inside = [p for p in catheter["path_px"] if all(30 < v < one["rows"] - 30 for v in p)]
            if len(inside) < 12:
                continue
            at = len(inside) // 2
            ends = [{"x": x, "y": y} for x, y in (inside[at - 4], inside[at + 4])]
            wishes.append(("catheter", {"image": image, "frame": 0, "points": ends, "french": catheter["french"], "how": "along"}))
        for how, wish in wishes:
            status, size = browser.json("POST", "/api/measure/pixel-size", wish)
            if status != 200 and how == "catheter":
                self.assertTrue(size["error"]["what"])  # not seen well enough here, and it says so
                continue
            self.assertEqual(status, 200, size)
            kept = {key: size[key] for key in ("mm_per_px", "sd_mm_per_px", "method")}
            status, length = browser.json("POST", "/api/measure/length", {"image": image, "frame": 0, "points": points, "pixel_size": kept})
            self.assertEqual(status, 200, length)
            yield how, length["length_mm"]


if __name__ == "__main__":
    unittest.main(verbosity=1)
