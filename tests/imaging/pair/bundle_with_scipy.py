#!/usr/bin/python3
# SPDX-License-Identifier: Apache-2.0
"""bundle_with_scipy.py > bundle_scipy.tsv   two views, eight landmarks and everything that is known beforehand, brought
together by scipy.optimize.least_squares (SciPy 1.10.1, Debian 12). Shares no code with the engine: the C-arm is built
from rotation matrices, derivatives are numerical, and the covariance is the inverse of J^T J.

Columns: what, number, then values. `view`: primary, secondary (deg), SID, SOD, spacing (mm). `click`: landmark, view,
column, row. `point`: landmark, x, y, z and its three standard deviations. `shift`: of view 1, three and three sd.
`angles`: change of view 1's primary, secondary and roll (deg). `distance`: between two landmarks, value and sd."""
import numpy
from scipy.optimize import least_squares
from scipy.spatial.transform import Rotation

VIEWS = [(-30.0, -20.0, 1050.0, 750.0, 0.390625), (45.0, 25.0, 1100.0, 750.0, 0.390625)]
POINTS = numpy.array([(20, -15, 10), (-12, 30, -25), (35, 5, 40), (-40, -20, 15), (0, 0, 60), (25, 35, -10),
                      (-30, 10, 50), (10, -40, -35)], float)
# Standard deviations of what is known beforehand; the engine is given the same.
ANGLE, ROLL, DISTANCE, SHIFT, CLICK = numpy.radians(0.7), numpy.radians(0.4), 3.0, 5.0, 1.0


def seen(view, change, shift, points):
    """Pixels of points. The detector's frame is the patient's turned about the long axis, then tilted towards the head;
    seen from the front, with rows downwards."""
    primary, secondary, sid, sod, spacing = view
    a, b = numpy.radians(primary) + change[0], numpy.radians(secondary) + change[1]
    turned = (Rotation.from_rotvec([0, 0, a]) * Rotation.from_rotvec([-b, 0, 0])).inv().apply(points + shift)
    depth = sod + change[4] - turned[:, 1]   # the detector lies towards -y of its own frame
    across, up = turned[:, 0], turned[:, 2]
    roll = Rotation.from_rotvec([0, 0, -change[2]]).apply(numpy.stack([across, -up, 0 * up], axis=1))
    return 255.5 + (sid + change[3]) / (depth[:, None] * spacing) * roll[:, :2]


def residuals(x, clicks):
    shift, changes, points = x[:3], (x[3:8], x[8:13]), x[13:].reshape(-1, 3)
    out = [(seen(VIEWS[0], changes[0], 0, points) - clicks[0]).ravel() / CLICK,
           (seen(VIEWS[1], changes[1], shift, points) - clicks[1]).ravel() / CLICK, shift / SHIFT]
    for change, angle, roll in ((changes[0], 1e-7, 1e-7), (changes[1], ANGLE, ROLL)):
        out.append(change / numpy.array([angle, angle, roll, DISTANCE, DISTANCE]))
    return numpy.concatenate(out)


def main():
    random = numpy.random.default_rng(20251125)
    # Off by about one standard deviation of each.
    truth = (numpy.zeros(5), numpy.array([numpy.radians(0.5), numpy.radians(-0.6), numpy.radians(0.3), 2.0, -1.5]))
    shift = numpy.array([3.0, -2.0, 4.0])
    clicks = [seen(VIEWS[0], truth[0], 0, POINTS), seen(VIEWS[1], truth[1], shift, POINTS)]
    clicks = [numpy.round(c + 0.6 * random.standard_normal(c.shape), 3) for c in clicks]
    start = numpy.concatenate([numpy.zeros(13), POINTS.ravel()])
    found = least_squares(residuals, start, args=(clicks,), x_scale="jac", xtol=1e-14, ftol=1e-14, gtol=1e-14, jac="3-point")
    covariance = numpy.linalg.inv(found.jac.T @ found.jac)
    sd = numpy.sqrt(numpy.diag(covariance))
    points = found.x[13:].reshape(-1, 3)
    worst = max(numpy.hypot(*(seen(VIEWS[i], found.x[3 + 5 * i:8 + 5 * i], found.x[:3] * i, points) - clicks[i]).T).max() for i in (0, 1))
    assert worst < 2.5 * CLICK, worst  # no click beyond the engine's robust bound: both minimise the same sum

    def row(*words):
        print("\t".join(w if isinstance(w, str) else f"{w:.9g}" for w in words))
    for i, view in enumerate(VIEWS):
        row("view", i, *view)
    for i, in_view in enumerate(clicks):
        for j, at in enumerate(in_view):
            row("click", j, i, *at)
    for j, point in enumerate(points):
        row("point", j, *point, *sd[13 + 3 * j:16 + 3 * j])
    row("shift", 1, *found.x[:3], *sd[:3])
    row("angles", 1, *numpy.degrees(found.x[8:11]))
    for i, j in ((0, 7), (2, 3), (4, 1)):
        gap = points[i] - points[j]
        gradient = numpy.zeros(len(found.x))
        gradient[13 + 3 * i:16 + 3 * i], gradient[13 + 3 * j:16 + 3 * j] = gap / numpy.linalg.norm(gap), -gap / numpy.linalg.norm(gap)
        row("distance", i, j, numpy.linalg.norm(gap), numpy.sqrt(gradient @ covariance @ gradient))


if __name__ == "__main__":
    main()
