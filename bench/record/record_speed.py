#!/usr/bin/env python3
# SPDX-License-Identifier: Apache-2.0
"""record_speed.py PROGRAM   how long the report of an invented case of 500 entries with 12 pictures takes, and a lesson with ten clips of 60 frames.

Five times each, a whole command: start, journal, frames from the cache, file. Prints seconds on the wall and of the processor, and sizes."""
import json
import pathlib
import resource
import subprocess
import sys
import tempfile
import time

import pydicom

PROGRAM = sys.argv[1]


def run(*words):
    done = subprocess.run([PROGRAM, *map(str, words)], capture_output=True, text=True)
    if done.returncode != 0:
        sys.exit(f"{words}: {done.stderr}")
    return done.stdout


def timed(label, file, *words):
    seconds, work = [], []
    for _ in range(5):
        begun, before = time.perf_counter(), resource.getrusage(resource.RUSAGE_CHILDREN)
        run(*words)
        after = resource.getrusage(resource.RUSAGE_CHILDREN)
        seconds.append(time.perf_counter() - begun)
        work.append(after.ru_utime + after.ru_stime - before.ru_utime - before.ru_stime)
    print(f"{label}: best {min(seconds):.2f} s, worst {max(seconds):.2f} s (processor {min(work):.2f} to {max(work):.2f} s), {file.stat().st_size / 1e6:.1f} MB")


with tempfile.TemporaryDirectory() as name:
    folder = pathlib.Path(name)
    data = folder / "data"
    case = json.loads(run("case", "new", "--title", "invented, for its speed", "--data", data, "--json"))["id"]
    for seed in range(4):  # three runs each of 45 frames; the first 15 follow once more
        run("phantom", "xa", "-o", folder / f"xa{seed}", "--seed", seed + 1)
        for file in sorted((folder / f"xa{seed}").glob("*.dcm")):
            subprocess.run(["dcmdjpeg", file, file], check=True)
            one = pydicom.dcmread(file)
            frame = one.Rows * one.Columns * one.BitsAllocated // 8
            one.PixelData = (one.PixelData[:one.NumberOfFrames * frame] * 2)[:60 * frame]
            one.NumberOfFrames = 60
            if "FrameTimeVector" in one:
                one.FrameTimeVector = ([float(each) for each in one.FrameTimeVector] * 2)[:60]
            one.save_as(file)
            run("image", "import", case, file, "--data", data)
    images = json.loads(run("case", "show", case, "--data", data, "--json"))["images"][:10]
    lines = ["timeout", "access a femoral 7F", "start AW"]
    lines += [f"note picture: {image['hash'][:16]} frame 20; the cap" for image in images] + ["note picture: timeline", f"note picture: {images[0]['hash'][:16]} frame 30"]
    lines += [f"note mask: {image['hash'][:16]} 0,0,60,20" for image in images] + [f"note clip: {image['hash'][:16]} frames 1-{min(60, image['image']['frames'])}; a clip" for image in images]
    for number in range(500 - len(lines) - 12 - 1):
        lines.append(["contrast +3", "act 280", "note nothing new", f"ak {0.5 + number / 200:.3f}"][number % 4])
    for line in lines:
        run("log", case, line, "--data", data, "--by", "op", "--confirm")
    entries = json.loads(run("case", "show", case, "--data", data, "--json"))["seq"]
    print(f"{entries} entries, {len(images)} runs of {images[0]['image']['frames']} frames, {images[0]['image']['columns']} x {images[0]['image']['rows']}")
    timed("report, PDF with 12 pictures", folder / "r.pdf", "report", case, "-o", folder / "r.pdf", "--data", data)
    timed("report, HTML with 12 pictures", folder / "r.html", "report", case, "-o", folder / "r.html", "--data", data)
    timed("lesson, ten clips of 60 frames", folder / "l.html", "lesson", case, "-o", folder / "l.html", "--data", data)
