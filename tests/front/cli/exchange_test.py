#!/usr/bin/env python3
# SPDX-License-Identifier: Apache-2.0
"""exchange_test.py PROGRAM   a whole case out and in again, and facts from another system, as a person does it.

Archives are looked at with Python's tarfile, files with its hashlib, pictures with pydicom: implementations from outside the project."""
import base64
import hashlib
import json
import pathlib
import re
import shutil
import signal
import subprocess
import tarfile
import time
import unittest
import zlib

import numpy
import pydicom
from program import Base, Browser, run, served

LOINC, UCUM = "http://loinc.org", "http://unitsofmeasure.org"


def observed(code, value, unit, when="2026-09-10"):
    return {"resourceType": "Observation", "status": "final", "code": {"coding": [{"system": LOINC, "code": code}]},
            "effectiveDateTime": when, "valueQuantity": {"value": value, "system": UCUM, "code": unit}}


class Carried(Base):
    def made(self):
        """A case with facts, a note, an amendment, a run's entries and one image."""
        case = self.new_case()
        scratch = pathlib.Path(self.scratch.name)
        run("phantom", "xa", "-o", scratch / "xa", "--seed", 8)
        image = sorted((scratch / "xa").glob("*.dcm"))[0]
        self.assertEqual(run("image", "import", case, image, "--data", self.folder).returncode, 0)
        for text in ("fact length_angio_mm 19.2 ± 1.4 mm", "fact stump_angio blunt", "note seen twice", "timeout", "access a femoral 7F",
                     "start AW", "contrast +40", "act 285"):
            done = run("log", case, text, "--data", self.folder, "--confirm")
            self.assertEqual(done.returncode, 0, (text, done.stderr))
        return case, image

    def answers(self, folder, case):
        report = run("report", case, "--data", folder)
        assess = run("assess", case, "--at", "2027-06-01T00:00:00Z", "--data", folder, "--json")  # of one moment
        verify = run("verify", case, "--data", folder, "--json")
        journal = run("journal", case, "--data", folder, "--json")
        return [each.stdout for each in (assess, report, verify, journal)]

    def test_another_folder_gives_the_same_bytes(self):
        case, image = self.made()
        scratch = pathlib.Path(self.scratch.name)
        for out in (scratch / "out", scratch / "out.tar"):
            done = run("case", "export", case[:20], "-o", out, "--data", self.folder)
            self.assertEqual(done.returncode, 0, done.stderr)
        with tarfile.open(scratch / "out.tar") as archive:
            names = {member.name for member in archive.getmembers()}
            manifest = json.load(archive.extractfile("manifest.json"))
            for file in manifest["files"]:
                data = archive.extractfile(file["path"]).read()
                self.assertEqual((len(data), hashlib.sha256(data).hexdigest()), (file["bytes"], file["sha256"]))
                self.assertEqual(data, (scratch / "out" / file["path"]).read_bytes())
        digest = hashlib.sha256(image.read_bytes()).hexdigest()
        self.assertEqual(names, {"journal.jsonl", f"images/{digest}.dcm", "README.txt", "manifest.json"})
        for number, parcel in enumerate((scratch / "out", scratch / "out.tar")):
            other = scratch / f"other{number}"
            done = run("case", "import", parcel, "--data", other)
            self.assertEqual(done.returncode, 0, done.stderr)
            self.assertEqual(self.answers(other, case), self.answers(self.folder, case))
            shown = json.loads(run("case", "show", case, "--data", other, "--json").stdout)
            self.assertEqual([one["hash"] for one in shown["images"]], [digest])
            self.assertIn("was here already", run("case", "import", parcel, "--data", other).stdout)
        self.refused(run("case", "export", case, "-o", scratch / "out", "--data", self.folder), 1, "something of this name")

    def test_a_running_program_gives_and_takes_cases(self):
        case, _ = self.made()
        scratch = pathlib.Path(self.scratch.name)
        with served(self.folder) as (_, address):
            browser = Browser(address)
            reply, archive = browser.ask("GET", f"/api/cases/{case}/case.tar")
            self.assertEqual(reply.status, 200)
            self.assertEqual(browser.ask("GET", "/api/cases/01NONE/case.tar")[0].status, 404)
        (scratch / "page.tar").write_bytes(archive)
        run("case", "export", case, "-o", scratch / "out", "--data", self.folder)
        other = scratch / "other"
        run("case", "new", "--title", "another", "--data", other)
        with served(other) as (_, address):
            browser = Browser(address)
            reply, answer = browser.ask("POST", "/api/cases/import", archive, "application/octet-stream")
            taken = json.loads(answer)
            self.assertEqual((reply.status, taken["case"], taken["came"], taken["images_new"]), (200, case, "new", 1), answer)
            self.assertEqual(self.answers(other, case), self.answers(self.folder, case))
            self.assertIn("was here already", run("case", "import", scratch / "out", "--data", other).stdout)
            broken = bytearray(archive)
            broken[len(broken) // 2] ^= 1
            reply, answer = browser.ask("POST", "/api/cases/import", bytes(broken), "application/octet-stream")
            self.assertEqual(reply.status, 422, answer)
            # It goes on there, and the sender's later export is then another version.
            self.assertEqual(run("log", case, "note on this side", "--data", other).returncode, 0)
        run("log", case, "note on that side", "--data", self.folder)
        run("case", "export", case, "-o", scratch / "later", "--data", self.folder)
        self.refused(run("case", "import", scratch / "later", "--data", other), 1, "here already with other entries")

    def test_a_changed_folder_is_refused_and_nothing_is_left(self):
        case, _ = self.made()
        scratch = pathlib.Path(self.scratch.name)
        out, other = scratch / "out", scratch / "other"
        run("case", "export", case, "-o", out, "--data", self.folder)
        text = (out / "journal.jsonl").read_text()
        (out / "journal.jsonl").write_text(text.replace("19.2", "29.2"))
        self.refused(run("case", "import", out, "--data", other), 1, "not those that were exported", "journal.jsonl")
        self.assertEqual(json.loads(run("case", "list", "--data", other, "--json").stdout)["cases"], [])
        self.assertEqual([p for p in (other / "images").rglob("*") if p.is_file()], [])
        self.refused(run("case", "import", __file__, "--data", other), 1, "no archive of a case")
        self.refused(run("case", "import", scratch / "none", "--data", other), 1, "no such folder")


class Pictures(Base):
    def made(self):
        """A case with a synthetic run, a length measured on its frame 5, and pictures chosen."""
        case = self.new_case()
        scratch = pathlib.Path(self.scratch.name)
        run("phantom", "xa", "-o", scratch / "xa", "--seed", 8)
        image = sorted((scratch / "xa").glob("*.dcm"))[0]
        run("image", "import", case, image, "--data", self.folder)
        shown = json.loads(run("case", "show", case, "--data", self.folder, "--json").stdout)["images"][0]
        for text in ("timeout", "access a femoral 7F", "start AW", "contrast +40", "ak 0.9", "act 285", f"note picture: {shown['label']} frame 5; the cap", "note picture: timeline",
                     "note picture: skin", f"note picture: {shown['label']} frame 999"):
            done = run("log", case, text, "--by", "op", "--data", self.folder, "--confirm")
            self.assertEqual(done.returncode, 0, (text, done.stderr))
        return case, image, shown, scratch

    def test_the_report_carries_the_chosen_pictures(self):
        case, image, shown, scratch = self.made()
        for name in ("one.pdf", "two.pdf", "one.html"):
            done = run("report", case, "-o", scratch / name, "--data", self.folder)
            self.assertEqual(done.returncode, 0, done.stderr)
        self.assertEqual((scratch / "one.pdf").read_bytes(), (scratch / "two.pdf").read_bytes())
        listed = subprocess.run(["pdfimages", "-list", scratch / "one.pdf"], capture_output=True, text=True, check=True).stdout.splitlines()[2:]
        data = pydicom.dcmread(image)
        self.assertEqual([(int(line.split()[3]), int(line.split()[4])) for line in listed], [(data.Columns, data.Rows)])
        subprocess.run(["pdfimages", "-png", scratch / "one.pdf", scratch / "taken"], check=True)
        text = subprocess.run(["pdftotext", "-layout", scratch / "one.pdf", "-"], capture_output=True, text=True, check=True).stdout
        for words in ("Key pictures", "frame 5 of", "the cap", "Timeline of the visit", "Skin dose, an estimate", "the run has no such frame"):
            self.assertIn(words, text)
        html = (scratch / "one.html").read_text()
        self.assertEqual(html.count("data:image/png;base64,"), 1)
        self.assertNotIn("<script", html)
        with served(self.folder) as (_, address):
            browser = Browser(address)
            report = json.loads(browser.ask("GET", f"/api/cases/{case}/report")[1])
            kinds = [browser.ask("GET", f"/api/cases/{case}/report/pictures/{one['entry']}")[0].status for one in report["pictures"]]
            self.assertEqual(kinds, [200, 200, 404, 404])  # the skin from the console's total alone has no map
            reply, pdf = browser.ask("GET", f"/api/cases/{case}/report.pdf")
            self.assertEqual(pdf, (scratch / "one.pdf").read_bytes(), "beside a running program and through it: the same bytes")

    def test_a_traced_frame_is_shown_with_its_path(self):
        """A vessel of the invented run, through two clicks on its true course: path and edges lie along that course, which the trace never saw."""
        case = self.new_case()
        scratch = pathlib.Path(self.scratch.name)
        run("phantom", "xa", "-o", scratch / "xa", "--seed", 8)
        truth = json.loads((scratch / "xa" / "truth.json").read_text())["runs"][0]
        frame = 29  # filled
        course = numpy.array(next(vessel for vessel in truth["vessels"] if vessel["name"] == "RCA")["path_px"])  # at frame 0
        caps = [numpy.array(truth["caps"][i]["proximal_px"]) for i in (0, frame)]
        cap = numpy.hypot(*(course - caps[0]).T).argmin()
        course = course[cap - 20:cap] + caps[1] - caps[0]  # beside the cap the vessel moves as the cap does, but for a turn
        clicks = [course[1], course[-2]]
        run("image", "import", case, scratch / "xa" / truth["file"], "--data", self.folder)
        image = json.loads(run("case", "show", case, "--data", self.folder, "--json").stdout)["images"][0]
        with served(self.folder) as (_, address):
            entry = {"v": 1, "id": "01ARZ3NDEKTSV4RRFFQ69G5FAV", "at": "2026-11-25T09:00:00.000Z", "written": "2026-11-25T09:00:00.000Z", "by": "op", "device": "page", "kind": "fact",
                     "data": {"fact": "length_angio_mm", "value": 20, "mark": "measured",
                              "origin": {"image": image["hash"], "frame": frame, "method": "trace 4", "points": [{"x": float(x), "y": float(y)} for x, y in clicks]}}}
            status, written = Browser(address).json("POST", f"/api/cases/{case}/entries", {"entries": [entry]})
            self.assertEqual(status, 200, written)
        run("log", case, f"note picture: {image['label']} frame {frame + 1}; traced", "--data", self.folder, "--confirm")
        run("log", case, f"note picture: {image['label']} frame {frame}; the frame before", "--data", self.folder, "--confirm")
        run("report", case, "-o", scratch / "one.html", "--data", self.folder)
        traced, before = re.findall(r"<figure>.*?</figure>", (scratch / "one.html").read_text(), re.S)
        lines = [numpy.array([[float(v) for v in point.split(",")] for point in points.split()]) for points in dict.fromkeys(re.findall(r'<polyline[^>]*points="([^"]+)"', traced))]  # each is drawn twice: a rim and the line
        lines = [line for line in lines if len(line) > 10]
        self.assertEqual(len(lines), 3, "the path and both edges")
        self.assertIn("traced anew through the same points", traced)
        self.assertNotIn("traced anew", before)
        away = [numpy.hypot(*(line[:, None, :] - course[None, :, :]).transpose(2, 0, 1)).min(axis=1) for line in lines]
        path = min(range(3), key=lambda i: away[i].mean())
        self.assertLess(away[path].mean(), 2, "pixels from the true course")
        for i in {0, 1, 2} - {path}:
            self.assertLess(away[i].mean(), 12, "an edge is a radius away")
        reached = numpy.hypot(*(course[1:-1, None, :] - lines[path][None, :, :]).transpose(2, 0, 1)).min(axis=1)
        self.assertLess(numpy.quantile(reached, 0.9), 5, "the whole stretch is followed")
        run("report", case, "-o", scratch / "one.pdf", "--data", self.folder)
        text = subprocess.run(["pdftotext", "-layout", scratch / "one.pdf", "-"], capture_output=True, text=True, check=True).stdout
        self.assertIn("traced anew through the same points", " ".join(text.split()))

    def test_a_clip_is_in_the_lesson_once_somebody_has_looked(self):
        case, image, shown, scratch = self.made()
        run("log", case, f"note clip: {shown['label']} frames 1-8; Quillfeather's septal", "--data", self.folder, "--confirm")
        done = run("lesson", case, "-o", scratch / "none.html", "--data", self.folder)
        self.assertIn("nobody has looked", done.stdout)
        self.assertNotIn("data:image", (scratch / "none.html").read_text())
        run("log", case, f"note mask: {shown['hash'][:16]} 0,0,64,32", "--data", self.folder, "--confirm")
        done = run("lesson", case, "-o", scratch / "lesson.html", "--mask", "Quillfeather", "--data", self.folder)
        html = (scratch / "lesson.html").read_text()
        frames = re.findall(r'src="data:image/jpeg;base64,([^"]+)"', html)
        self.assertEqual(len(frames), 8, done.stdout)
        self.assertNotIn("Quillfeather", html)
        (scratch / "frame.jpg").write_bytes(base64.b64decode(frames[0]))
        # Decoded by DCMTK, which did not write it.
        subprocess.run(["img2dcm", scratch / "frame.jpg", scratch / "frame.dcm"], check=True, capture_output=True)
        subprocess.run(["dcmdjpeg", scratch / "frame.dcm", scratch / "plain.dcm"], check=True, capture_output=True)
        pixels = pydicom.dcmread(scratch / "plain.dcm").pixel_array
        self.assertLess(pixels[:24, :56].max(), 12, "the box is black")
        self.assertGreater(pixels[64:, 64:].max(), 60, "the picture is not")

    def test_the_structured_report_names_the_run_it_was_measured_on(self):
        case, image, shown, scratch = self.made()
        done = run("exchange", case, "--sr", "-o", scratch / "sr.dcm", "--data", self.folder)
        self.assertEqual(done.returncode, 0, done.stderr)
        data = pydicom.dcmread(scratch / "sr.dcm")
        self.assertEqual((data.Modality, data.VerificationFlag, data.ContentTemplateSequence[0].TemplateIdentifier), ("SR", "UNVERIFIED", "1500"))
        measured = data.ContentSequence[-1].ContentSequence
        values = {group.ContentSequence[0].TextValue: group.ContentSequence[2].MeasuredValueSequence[0] for group in measured}
        self.assertEqual((float(values["Contrast given"].NumericValue), values["Contrast given"].MeasurementUnitsCodeSequence[0].CodeValue), (40.0, "mL"))
        self.assertEqual(float(values["Air kerma at the reference point"].NumericValue), 0.9)


class Leaving(Base):
    PLANTED = ["Quillfeather", "Vantongeren", "Oxbow", "88123477", "19510307", "1951-03-07", "7 March 1951", "20260917", "1.2.840.99999", "SN-4711-22", "0151-555-0199", "Thornwhistle"]

    def planted_image(self, scratch):
        """A synthetic run with identifiers where a station would put them, and where it should not."""
        run("phantom", "xa", "-o", scratch / "xa", "--seed", 8)
        data = pydicom.dcmread(sorted((scratch / "xa").glob("*.dcm"))[0])
        data.PatientName, data.PatientID, data.PatientBirthDate = "Quillfeather^Z", "88123477", "19510307"
        data.StudyDate = data.SeriesDate = "20260917"
        data.StudyInstanceUID, data.SeriesInstanceUID = "1.2.840.99999.1", "1.2.840.99999.2"
        data.InstitutionName, data.OperatorsName, data.DeviceSerialNumber = "Oxbow General", "Vantongeren^A", "SN-4711-22"
        data.StudyDescription, data.ImageComments = "CTO of Quillfeather", "call 0151-555-0199"
        block = data.private_block(0x0019, "OXBOW STATION", create=True)
        block.add_new(0x01, "LO", "Quillfeather private")
        block.add_new(0x02, "OB", zlib.compress(b"Quillfeather" * 20))
        inner = pydicom.Dataset()
        inner.ReferencedSOPClassUID, inner.ReferencedSOPInstanceUID = data.SOPClassUID, "1.2.840.99999.3"
        inner.PatientName = "Quillfeather^Nested"
        inner.add_new(0x00211001, "LO", "Vantongeren nested private")
        data.ReferencedImageSequence = [inner]
        data.RequestAttributesSequence = [inner]
        file = scratch / "Quillfeather_88123477.dcm"
        data.save_as(file)
        return file, data

    def hunt(self, files, known):
        for name, data in files:
            texts = [data]
            if data[:2] in (b"\x1f\x8b", b"\x78\x9c"):
                texts.append(zlib.decompress(data, 47))
            for text in texts:
                low = text.lower()
                for planted in known:
                    forms = [planted.encode(), planted.lower().encode(), planted.encode("utf-16-le"), planted.encode("utf-16-be")]
                    forms += [base64.b64encode(b"x" * skip + planted.encode())[4:-4] for skip in range(3)]
                    for form in (each for each in forms if len(each) > 4):
                        self.assertNotIn(form, text, (name, planted))
                    self.assertNotIn(planted.lower().encode(), low, (name, planted))

    def test_no_planted_identifier_leaves(self):
        case = self.new_case()
        scratch = pathlib.Path(self.scratch.name)
        image, planted = self.planted_image(scratch)
        run("image", "import", case, image, "--data", self.folder)
        for text in ("note Quillfeather, born 1951-03-07, call 0151-555-0199", "fact age_years 93", "timeout; with Vantongeren",
                     "access a femoral 7F; Quillfeather", "start AW", "contrast +40; record 88123477",
                     "note lesson: told Quillfeather on 1951-03-07 that record 88123477 was right",
                     "note lesson: Dr Oxbow phoned 0151-555-0199 on 7 March 1951", "note picture: run 1 frame 2; the cap of Quillfeather",
                     "note clip: run 1 frames 1-6; Sister Vantongeren holds it",
                     "note lesson: THORNWHISTLE held the tip, said thornwhistle; Thornwhistle's Gulliver loop"):
            done = run("log", case, text, "--by", "Vantongeren", "--data", self.folder, "--confirm")
            self.assertEqual(done.returncode, 0, (text, done.stderr))
        digest = hashlib.sha256(image.read_bytes()).hexdigest()
        unseen = json.loads(run("case", "deidentify", case, "-o", scratch / "unseen", "--data", self.folder, "--json").stdout)
        self.assertEqual((unseen["images"], unseen["left_out"]), (0, 1), "nobody has looked at it")
        run("log", case, f"note mask: {digest[:16]} 0,0,100,20", "--data", self.folder, "--confirm")
        words = ["--keep", "teaching", "--mask", "Quillfeather", "--data", self.folder, "--json"]
        for name in ("out", "out.tar"):
            done = run("case", "deidentify", case, "-o", scratch / name, *words)
            self.assertEqual(done.returncode, 0, done.stderr)
            told = json.loads(done.stdout)
            self.assertEqual((told["images"], told["left_out"], told["deidentified"]), (1, 0, True))
            # A name that nobody gave is taken out, and told to whoever makes the file, with a word that may stay.
            self.assertTrue({"THORNWHISTLE", "thornwhistle", "Gulliver"} <= set(told["taken_out"]), told)
        known = self.PLANTED + [case, digest, planted.SOPInstanceUID]
        files = [(file.relative_to(scratch / "out").as_posix(), file.read_bytes()) for file in (scratch / "out").rglob("*") if file.is_file()]
        self.hunt(files + [(name, name.encode()) for name, _ in files] + [("tar", (scratch / "out.tar").read_bytes())], known)
        run("lesson", case, "-o", scratch / "lesson.html", "--mask", "Quillfeather", "--mask", "Vantongeren", "--data", self.folder)
        lesson = (scratch / "lesson.html").read_bytes()
        self.assertEqual(lesson.count(b"data:image/jpeg"), 6)
        self.hunt([("lesson", lesson)] + [("frame", base64.b64decode(each)) for each in re.findall(rb'base64,([^"]+)"', lesson)], known)
        run("case", "deidentify", case, "-o", scratch / "kept", "--keep-word", "gulliver", *words)
        self.assertIn("Gulliver loop", (scratch / "kept" / "journal.jsonl").read_text())
        self.assertNotIn("Gulliver", (scratch / "out" / "journal.jsonl").read_text())
        # The picture: read by another program, masked, otherwise as it was; its day moved, its identity gone.
        left = pydicom.dcmread(next((scratch / "out" / "images").iterdir()))
        self.assertEqual((left.PatientIdentityRemoved, left.BurnedInAnnotation, left.LongitudinalTemporalInformationModified), ("YES", "NO", "MODIFIED"))
        self.assertEqual([code.CodeValue for code in left.DeidentificationMethodCodeSequence], ["113100", "113101", "113103", "113105", "113107", "113108"])
        self.assertNotEqual(left.StudyDate, "20260917")
        self.assertEqual(float(left.PositionerPrimaryAngle), float(planted.PositionerPrimaryAngle))
        self.assertTrue((left.pixel_array[:, :20, :100] == 0).all())
        self.assertTrue((left.pixel_array[:, 20:, :] == planted.pixel_array[:, 20:, :]).all())
        removed = (scratch / "out" / "removed.txt").read_text()
        for line in ("(0010,0010) PN", "(0008,0080) LO", "private elements", "in (0008,1140)", "remark of a run entry", "age above 89 years"):
            self.assertIn(line, removed)
        # Another lab takes it in like any case, and the same project's key gives the same stand-ins.
        other = scratch / "other"
        done = run("case", "import", scratch / "out.tar", "--data", other, "--json")
        self.assertEqual(done.returncode, 0, done.stderr)
        taken = json.loads(done.stdout)
        self.assertTrue(taken["deidentified"])
        self.assertEqual(run("verify", taken["case"], "--data", other).returncode, 0)
        shown = json.loads(run("case", "show", taken["case"], "--data", other, "--json").stdout)
        self.assertEqual({one["name"]: one["value"] for one in shown["facts"]}["age_years"], 90)
        self.assertEqual(len(shown["images"]), 1)
        # What was chosen stays chosen, by the stand-in.
        run("lesson", taken["case"], "-o", scratch / "again.html", "--data", other)
        self.assertEqual((scratch / "again.html").read_text().count("data:image/jpeg"), 6)
        self.assertIn("2 of", run("report", taken["case"], "--data", other).stdout.split("Key pictures")[1])
        with tarfile.open(scratch / "out.tar") as archive:
            self.assertEqual(archive.extractfile("journal.jsonl").read(), (scratch / "out" / "journal.jsonl").read_bytes())
        self.refused(run("case", "deidentify", case, "-o", scratch / "x", "--project", "../x", "--data", self.folder), 1, "no name for a project")


    def test_what_hides_beside_the_pixels_leaves_in_no_byte(self):
        """JPEG comments, application segments and bytes behind the picture (ITU T.81 B.2.4) in a multi-frame ultrasound; an overlay plane
        in the unused bits of the pixels (PS3.5 8.1.2), a plane of its own, a small picture (icon) and a private sequence in an angiogram."""
        case = self.new_case()
        scratch = pathlib.Path(self.scratch.name)
        run("phantom", "xa", "-o", scratch / "xa", "--seed", 8)
        source = sorted((scratch / "xa").glob("*.dcm"))[0]
        said = b"Quillfeather of Oxbow, 88123477"
        data = pydicom.dcmread(source)
        data.decompress()
        data.PixelData, data.NumberOfFrames = data.pixel_array[:4].tobytes(), 4
        data.save_as(scratch / "four.dcm")
        subprocess.run(["dcmcjpeg", "+eb", scratch / "four.dcm", scratch / "jpeg.dcm"], check=True)
        data = pydicom.dcmread(scratch / "jpeg.dcm")

        def with_words(jpeg):
            segment = (len(said) + 2).to_bytes(2, "big") + said
            changed = jpeg[:2] + b"\xff\xe1" + segment + b"\xff\xfe" + segment + jpeg[2:] + said
            return changed + b"\0" * (len(changed) % 2)
        frames = [with_words(frame) for frame in pydicom.encaps.generate_pixel_data_frame(data.PixelData, 4)]
        data.PixelData = pydicom.encaps.encapsulate(frames)
        data["PixelData"].is_undefined_length = True
        data.SOPClassUID = data.file_meta.MediaStorageSOPClassUID = "1.2.840.10008.5.1.4.1.1.3.1"
        data.SOPInstanceUID = data.file_meta.MediaStorageSOPInstanceUID = "1.2.840.99999.8"
        data.Modality = "US"
        data.save_as(scratch / "us.dcm")
        self.assertIn(b"\xff\xfe" + (len(said) + 2).to_bytes(2, "big") + said, (scratch / "us.dcm").read_bytes())
        over = pydicom.dcmread(source)
        over.decompress()
        rows, columns = over.Rows, over.Columns
        bits = (said * (rows * columns // 8 // len(said) + 1))[: rows * columns // 8]
        pixels = over.pixel_array[:4].astype("uint16") << 2
        plane = numpy.unpackbits(numpy.frombuffer(bits, "uint8"), bitorder="little").reshape(rows, columns)
        pixels |= plane.astype("uint16") << 12
        over.PixelData, over.NumberOfFrames, over.BitsAllocated, over.BitsStored, over.HighBit = pixels.tobytes(), 4, 16, 10, 9
        for tag, kind, value in ((0x60000010, "US", rows), (0x60000011, "US", columns), (0x60000100, "US", 16), (0x60000102, "US", 12), (0x60000022, "LO", "Vantongeren"),
                                 (0x60020010, "US", 16), (0x60020011, "US", 16), (0x60023000, "OW", said + b" ")):
            over.add_new(tag, kind, value)
        icon = pydicom.Dataset()
        icon.Rows = icon.Columns = 16
        icon.BitsAllocated, icon.SamplesPerPixel, icon.PixelData = 8, 1, (said * 9)[:256]
        over.IconImageSequence = [icon]
        inner = pydicom.Dataset()
        inner.PatientName, inner.TextValue = "Vantongeren^A", "Oxbow"
        over.private_block(0x0019, "OXBOW STATION", create=True).add_new(0x03, "SQ", pydicom.Sequence([inner]))
        over.SOPInstanceUID = over.file_meta.MediaStorageSOPInstanceUID = "1.2.840.99999.9"
        over.save_as(scratch / "over.dcm")
        for name in ("us.dcm", "over.dcm"):
            done = run("image", "import", case, scratch / name, "--data", self.folder)
            self.assertEqual(done.returncode, 0, done.stderr)
            digest = hashlib.sha256((scratch / name).read_bytes()).hexdigest()
            run("log", case, f"note mask: {digest[:16]} none", "--data", self.folder, "--confirm")
        told = json.loads(run("case", "deidentify", case, "-o", scratch / "out", "--data", self.folder, "--json").stdout)
        self.assertEqual((told["images"], told["left_out"]), (2, 0))
        files = [(file.name, file.read_bytes()) for file in (scratch / "out").rglob("*") if file.is_file()]
        self.hunt(files, self.PLANTED + [case])
        left = {one.Modality: one for one in map(pydicom.dcmread, (scratch / "out" / "images").iterdir())}
        self.assertEqual(set(left), {"US", "XA"})
        self.assertEqual(left["US"].NumberOfFrames, 4)
        self.assertTrue((left["XA"].pixel_array == (pixels & 0x3FF)).all(), "bits above the stored ones are gone, the others as they were")

    def test_a_dose_report_leaves_as_doses_alone(self):
        case = self.new_case()
        scratch = pathlib.Path(self.scratch.name)
        run("phantom", "rdsr", "-o", scratch / "rdsr", "--seed", 4, "--events", 6)
        data = pydicom.dcmread(next((scratch / "rdsr").glob("*.dcm")))
        data.PatientName, data.PatientID, data.PatientBirthDate, data.InstitutionName, data.DeviceSerialNumber = "Quillfeather^Z", "88123477", "19510307", "Oxbow General", "SN-4711-22"
        name = pydicom.Dataset()
        name.CodeValue, name.CodingSchemeDesignator, name.CodeMeaning = "121029", "DCM", "Quillfeather"
        said = pydicom.Dataset()
        said.RelationshipType, said.ValueType, said.ConceptNameCodeSequence, said.TextValue = "CONTAINS", "TEXT", [name], "Vantongeren, 88123477"
        who = pydicom.Dataset()
        who.RelationshipType, who.ValueType, who.ConceptNameCodeSequence, who.PersonName = "CONTAINS", "PNAME", [name], "Vantongeren^A"
        data.ContentSequence = list(data.ContentSequence) + [said, who]
        data.private_block(0x0019, "OXBOW STATION", create=True).add_new(0x01, "LO", "Quillfeather private")
        data.save_as(scratch / "Quillfeather.dcm")
        run("image", "import", case, scratch / "Quillfeather.dcm", "--data", self.folder)
        told = json.loads(run("case", "deidentify", case, "-o", scratch / "out", "--data", self.folder, "--json").stdout)
        self.assertEqual((told["images"], told["left_out"]), (1, 0))
        files = [(file.name, file.read_bytes()) for file in (scratch / "out").rglob("*") if file.is_file()]
        self.hunt(files, self.PLANTED + [case, data.SOPInstanceUID, data.StudyInstanceUID])
        left = pydicom.dcmread(next((scratch / "out" / "images").iterdir()))
        self.assertIn("113104", [code.CodeValue for code in left.DeidentificationMethodCodeSequence])
        checked = subprocess.run(["dciodvfy", next((scratch / "out" / "images").iterdir())], capture_output=True, text=True).stderr
        self.assertNotIn("Error", checked)

        def kermas(report):  # (113738, DCM, Dose (RP)), PS3.16 TID 10003: of each event, wherever it stands
            def below(item):
                if getattr(item, "ConceptNameCodeSequence", None) and item.ConceptNameCodeSequence[0].CodeValue == "113738":
                    yield float(item.MeasuredValueSequence[0].NumericValue)
                for child in getattr(item, "ContentSequence", []):
                    yield from below(child)
            return list(below(report))
        self.assertEqual(kermas(left), kermas(data))
        self.assertEqual(len(kermas(left)), 6)


class Stills(Base):
    def test_a_still_leaves_as_pixels_alone(self):
        case = self.new_case()
        scratch = pathlib.Path(self.scratch.name)

        def chunk(kind, body):  # W3C PNG, 5.3
            return len(body).to_bytes(4, "big") + kind + body + zlib.crc32(kind + body).to_bytes(4, "big")
        rows = b"".join(b"\0" + bytes((row * 3 + column) % 200 + 20 for column in range(64)) for row in range(48))
        png = (b"\x89PNG\r\n\x1a\n" + chunk(b"IHDR", (64).to_bytes(4, "big") + (48).to_bytes(4, "big") + b"\x08\0\0\0\0") +
               chunk(b"tEXt", b"Author\0Quillfeather of Oxbow") + chunk(b"IDAT", zlib.compress(rows)) + chunk(b"IEND", b""))
        (scratch / "still.png").write_bytes(png)
        done = run("image", "import", case, scratch / "still.png", "--data", self.folder)
        self.assertEqual(done.returncode, 0, done.stderr)
        digest = hashlib.sha256(png).hexdigest()
        self.assertEqual(json.loads(run("case", "deidentify", case, "-o", scratch / "no", "--data", self.folder, "--json").stdout)["left_out"], 1)
        run("log", case, f"note mask: {digest[:16]} 0,0,10,5", "--data", self.folder, "--confirm")
        self.assertEqual(json.loads(run("case", "deidentify", case, "-o", scratch / "out", "--data", self.folder, "--json").stdout)["images"], 1)
        left = next((scratch / "out" / "images").iterdir())
        data = left.read_bytes()
        self.assertEqual((left.suffix, b"Quillfeather" in data, b"tEXt" in data), (".png", False, False))
        self.assertEqual(hashlib.sha256(data).hexdigest(), left.stem)
        other = scratch / "other"
        taken = json.loads(run("case", "import", scratch / "out", "--data", other, "--json").stdout)
        shown = json.loads(run("case", "show", taken["case"], "--data", other, "--json").stdout)
        self.assertEqual([(one["image"]["columns"], one["image"]["rows"]) for one in shown["images"]], [(64, 48)])


class Known(Base):
    BUNDLE = {"resourceType": "Bundle", "type": "collection", "entry": [{"resource": one} for one in (
        {"resourceType": "Patient", "name": [{"family": "Quillfeather"}], "gender": "male", "birthDate": "1950-01-02"},
        observed("2160-0", 97.2, "umol/L"), observed("718-7", 131, "g/L"), observed("10230-1", 45, "%"), observed("29463-7", 80, "kg"),
        observed("2160-0", 5, "mmol/mol"))]}

    def test_facts_of_another_system_are_not_typed_again(self):
        case = self.new_case()
        file = pathlib.Path(self.scratch.name) / "bundle.json"
        file.write_text(json.dumps(self.BUNDLE))
        looked = json.loads(run("case", "facts", case, file, "--preview", "--data", self.folder, "--json").stdout)
        self.assertEqual((looked["kept"], len(looked["facts"])), (0, 6))
        self.assertEqual(json.loads(run("case", "show", case, "--data", self.folder, "--json").stdout)["facts"], [])
        done = run("case", "facts", case, file, "--by", "AB", "--data", self.folder)
        self.assertEqual(done.returncode, 0, done.stderr)
        self.assertIn('the unit "mmol/mol" is none of this quantity', done.stdout)
        shown = json.loads(run("case", "show", case, "--data", self.folder, "--json").stdout)
        facts = {one["name"]: one for one in shown["facts"]}
        self.assertAlmostEqual(facts["creatinine"]["value"], 1.0995, places=3)  # 97.2 umol/L: 88.4 umol/L in 1 mg/dL
        self.assertEqual((facts["haemoglobin"]["value"], facts["weight_kg"]["value"], facts["sex"]["value"]), (13.1, 80, "male"))
        self.assertEqual(facts["lvef_pct"]["mark"], "read")
        journal = run("journal", case, "--data", self.folder, "--json").stdout
        self.assertNotIn("Quillfeather", journal)
        self.assertNotIn("1950-01", journal)
        again = json.loads(run("case", "facts", case, file, "--data", self.folder, "--json").stdout)
        self.assertEqual(again["kept"], 0)

    def test_the_page_looks_first_and_keeps_then(self):
        case = self.new_case()
        with served(self.folder) as (_, address):
            browser = Browser(address)
            path = f"/api/cases/{case}/fhir"
            reply, answer = browser.ask("POST", path, json.dumps(self.BUNDLE), "text/plain")
            self.assertEqual((reply.status, json.loads(answer)["kept"]), (200, 0), answer)
            reply, answer = browser.ask("POST", path + "?keep=1&by=AB", json.dumps(self.BUNDLE), "text/plain")
            self.assertEqual((reply.status, json.loads(answer)["kept"]), (200, 6), answer)
            self.assertEqual(browser.ask("POST", path + "?keep=1", "{}", "text/plain")[0].status, 400)
            self.assertEqual(browser.ask("POST", path, "[1]", "text/plain")[0].status, 422)
            # What the program writes for another system it reads itself.
            reply, bundle = browser.ask("GET", f"/api/cases/{case}/fhir.json")
            reply, answer = browser.ask("POST", path, bundle, "text/plain")
            self.assertEqual(reply.status, 200, answer)
            self.assertTrue(all(one["known"] for one in json.loads(answer)["facts"]), answer)


if __name__ == "__main__":
    unittest.main()
