#!/usr/bin/python3
# SPDX-License-Identifier: Apache-2.0
"""Reference values for the tests of traced vessels, from SciPy, scikit-image and NumPy: references.tsv.

/usr/bin/python3 tests/imaging/trace/record_references.py > tests/imaging/trace/references.tsv
(Debian packages python3-scipy and python3-skimage; the recorded file was made with SciPy 1.10.1, scikit-image 0.19.3.)
Columns: kind, then numbers.
"""
import numpy as np
from scipy import ndimage
from skimage.filters import sato
from skimage.graph import MCP_Geometric

y, x = np.mgrid[0:40, 0:48].astype(float)
a, b = x - 12 - 0.3 * y, y - 25 + 0.2 * x
picture = 100 + 20 * np.exp(-a * a / 8) + 35 * np.exp(-b * b / 32) + 4 * np.cos(0.7 * x) * np.cos(0.45 * y) + 0.3 * x



def strength(derivative):
    best = np.zeros_like(picture)
    for s in (1.5, 3.0, 6.0):
        d = [derivative(s, *orders) for orders in ((0, 2), (1, 1), (2, 0))]
        h = s * s * np.stack([np.stack([d[0], d[1]], -1), np.stack([d[1], d[2]], -1)], -2)
        e = np.linalg.eigvalsh(h)
        first = np.abs(e[..., 0]) > np.abs(e[..., 1])
        big, small = np.where(first, e[..., 0], e[..., 1]), np.where(first, e[..., 1], e[..., 0])
        best = np.maximum(best, np.maximum(0, -big) * big**2 / np.maximum(1e-30, big**2 + 2 * small**2))
    return best


def own(s, down, across):
    """Weights cut at three sigma, the second derivative's sum taken to nothing; the sums by SciPy."""
    k = np.arange(-np.ceil(3 * s), np.ceil(3 * s) + 1)
    g = np.exp(-k * k / (2 * s * s))
    weights = [g, g * k / s**2, g * (k * k / s**2 - 1) / s**2]
    weights[2] = weights[2] - weights[2].mean()
    lines = ndimage.correlate1d(picture, weights[down] / g.sum(), axis=0, mode="nearest")
    return ndimage.correlate1d(lines, weights[across] / g.sum(), axis=1, mode="nearest")


def scipys(s, down, across):
    return ndimage.gaussian_filter(picture, s, order=(down, across), mode="nearest", truncate=6.0)


same, far = strength(own), strength(scipys)
for r in range(0, 40, 5):
    for c in range(0, 48, 5):
        print("scipy", c, r, repr(float(same[r, c])), repr(float(far[r, c])), sep="\t")

# Where scikit-image's line filter is strongest in each column, for the wide ridge.
line = sato(picture, sigmas=(1.5, 3.0, 6.0), black_ridges=False, mode="nearest")
for c in range(30, 46, 3):
    print("sato", c, int(np.argmax(line[10:36, c])) + 10, sep="\t")

# Cheapest paths over a cost that both sides can work out: 1 + 9 (x * 7 + y * 13 mod 11) / 10.
cost = 1 + 0.9 * ((x * 7 + y * 13) % 11)
costs, _ = MCP_Geometric(cost).find_costs([(3, 4)])
for r, c in ((0, 0), (39, 47), (20, 20), (3, 40), (35, 2), (17, 33)):
    print("mcp", c, r, repr(float(costs[r, c])), sep="\t")

# A profile with one narrowing: running median of five samples (1 mm), then lines by least squares that drop what lies
# 1.5 sd (0.1 mm at least) below, until nothing is dropped.
l = np.arange(0, 30.0001, 0.2)
d = 3.2 - 0.02 * l - 1.7 * np.exp(-(((l - 16) / 2.5) ** 2))
m = np.array([np.median(d[max(0, i - 2): i + 3]) for i in range(len(d))])
keep = np.ones(len(l), bool)
while True:
    slope, start = np.polyfit(l[keep], m[keep], 1)
    spread = max(0.1, np.std(m[keep] - start - slope * l[keep]))
    new = m >= start + slope * l - 1.5 * spread
    if (new == keep).all():
        break
    keep = new
i = int(np.argmin(m))
reference = start + slope * l[i]
back = m >= 0.95 * (start + slope * l)
first, last = max(k for k in range(i) if back[k]), min(k for k in range(i, len(l)) if back[k])
print("profile", *(repr(float(v)) for v in (start, slope, m[i], l[i], reference, 100 * (1 - m[i] / reference), l[first], l[last])), sep="\t")
