#!/usr/bin/python3
# SPDX-License-Identifier: Apache-2.0
"""compare_speed.py BIN WORK   decodes one run of 512 x 512 x 100, 8 bit, made here, with our child, with DCMTK's own tool
and with pydicom, all in this one run, and prints medians and ratios. BIN holds speed_probe."""
import json
import pathlib
import statistics
import subprocess
import sys
import time

import numpy
import pydicom
import pydicom.uid
from pydicom.dataset import FileDataset, FileMetaDataset

BIN, WORK = pathlib.Path(sys.argv[1]), pathlib.Path(sys.argv[2])
ROUNDS = 7


def make_run(path, size=512, count=100):
    """A vessel-like dark band that moves over a soft background with quantum noise: compresses like a real run."""
    random = numpy.random.default_rng(20260101)
    y, x = numpy.mgrid[0:size, 0:size].astype(float)
    ground = 150 + 40 * numpy.sin(x / 170) * numpy.cos(y / 140)
    frames = []
    for f in range(count):
        course = 256 + 90 * numpy.sin(y / 80 + f / 15)
        frame = ground - 70 * numpy.exp(-(((x - course) / 5) ** 2)) + random.normal(0, 3, x.shape)
        frames.append(numpy.clip(frame, 0, 255).astype("u1"))
    meta = FileMetaDataset()
    meta.MediaStorageSOPClassUID, meta.MediaStorageSOPInstanceUID = "1.2.840.10008.5.1.4.1.1.12.1", "2.25.77"
    meta.TransferSyntaxUID = pydicom.uid.ExplicitVRLittleEndian
    data = FileDataset(str(path), {}, file_meta=meta, preamble=bytes(128))
    data.SOPClassUID, data.SOPInstanceUID, data.Modality = meta.MediaStorageSOPClassUID, "2.25.77", "XA"
    data.StudyInstanceUID, data.SeriesInstanceUID, data.PatientName = "2.25.1", "2.25.2", "INVENTED"
    data.Rows = data.Columns = size
    data.NumberOfFrames, data.SamplesPerPixel, data.PhotometricInterpretation = count, 1, "MONOCHROME2"
    data.BitsAllocated, data.BitsStored, data.HighBit, data.PixelRepresentation, data.FrameTime = 8, 8, 7, 0, "66.7"
    data.PixelData = numpy.stack(frames).tobytes()
    data["PixelData"].VR = "OB"
    data.is_little_endian, data.is_implicit_VR = True, False
    data.save_as(path, write_like_original=False)


def median(action):
    times = []
    for _ in range(ROUNDS):
        start = time.perf_counter()
        action()
        times.append(time.perf_counter() - start)
    return statistics.median(times)


def shell(*words):
    subprocess.run([str(w) for w in words], check=True, capture_output=True)


def ours(path):
    rounds = [json.loads(subprocess.run([BIN / "speed_probe", path, WORK / "tiny.dcm"], check=True, capture_output=True).stdout) for _ in range(ROUNDS)]
    return {key: statistics.median(r[key] for r in rounds) for key in rounds[0]}


def with_pydicom(path):
    """Opening and decoding, in this process: the interpreter's start does not count against it."""
    data = pydicom.dcmread(path)
    try:
        return data.pixel_array.shape
    except (NotImplementedError, RuntimeError, AttributeError):
        return None


def main():
    WORK.mkdir(parents=True, exist_ok=True)
    plain = WORK / "plain.dcm"
    make_run(plain)
    make_run(WORK / "tiny.dcm", 2, 1)
    codecs = {"JPEG lossless": (["dcmcjpeg"], "dcmdjpeg"), "JPEG baseline": (["dcmcjpeg", "+eb"], "dcmdjpeg"), "JPEG-LS": (["dcmcjpls"], "dcmdjpls"),
              "RLE": (["dcmcrle"], "dcmdrle"), "uncompressed": (None, "dcmconv")}
    print("512 x 512 x 100, 8 bit; median of", ROUNDS, "in ms. DCMTK's tool starts, decodes and writes a file; so does ours.")
    print(f"{'':14} {'child, all':>11} {'first frame':>12} {'start alone':>12} {'in process':>11} {'DCMTK tool':>11} {'pydicom':>9} {'ours/DCMTK':>11} {'pydicom/ours':>13}")
    for name, (encode, decode) in codecs.items():
        coded = plain if encode is None else WORK / "coded.dcm"
        if encode is not None:
            shell(*encode, plain, coded)
        mine = ours(coded)
        tool = 1000 * median(lambda: shell(decode, *(["+te"] if encode is None else []), coded, WORK / "out.dcm"))
        theirs = 1000 * median(lambda: with_pydicom(coded)) if with_pydicom(coded) else None
        work = mine["child_ms"] - mine["start_ms"]
        print(f"{name:14} {mine['child_ms']:11.1f} {mine['first_ms']:12.1f} {mine['start_ms']:12.1f} {mine['in_process_ms']:11.1f} {tool:11.1f} "
              + (f"{theirs:9.1f} " if theirs else f"{'cannot':>9} ") + f"{work / tool:11.2f} " + (f"{theirs / mine['child_ms']:13.1f}" if theirs else f"{'-':>13}"), flush=True)


main()
