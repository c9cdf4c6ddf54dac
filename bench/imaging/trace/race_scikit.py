#!/usr/bin/python3
# SPDX-License-Identifier: Apache-2.0
"""scikit-image's line and vessel filters on a 512 x 512 picture, by turns with our own (build/bench/bin/trace_race).

/usr/bin/python3 bench/imaging/trace/race_scikit.py build/bench/bin/trace_race
(Debian package python3-skimage.) Two processes, so only the ratio of processor times means anything.
"""
import re
import subprocess
import sys
import time

import numpy as np
from skimage.filters import frangi, sato
from skimage.graph import MCP_Geometric

picture = np.random.default_rng(1).normal(100, 20, (512, 512))
cost = 1 / (0.02 + np.random.default_rng(2).random((512, 512)))
scales = (1.5, 2.1, 3.0, 4.2, 6.0)
jobs = {
    "sato": lambda: sato(picture, sigmas=scales, black_ridges=False),
    "frangi": lambda: frangi(picture, sigmas=scales, black_ridges=False),
    "MCP_Geometric, whole picture": lambda: MCP_Geometric(cost).find_costs([(100, 100)]),
}
least = dict.fromkeys(jobs, np.inf)
ours, paths = np.inf, np.inf
for turn in range(5):
    for name, job in jobs.items():
        for _ in range(3):
            start = time.process_time()
            job()
            least[name] = min(least[name], 1e3 * (time.process_time() - start))
    text = subprocess.run([sys.argv[1], "15", "512"], capture_output=True, text=True, check=True).stdout
    ours = min(ours, float(re.search(r"halved picture +cpu +([\d.]+)", text)[1]))
    paths = min(paths, float(re.search(r"to every pixel +cpu +([\d.]+)", text)[1]))
for name, value in least.items():
    mine = paths if "MCP" in name else ours
    print(f"{name}: {value:.1f} ms of processor time, ours {mine:.2f}: {value / mine:.0f} times")
