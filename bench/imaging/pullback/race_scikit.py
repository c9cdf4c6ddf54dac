#!/usr/bin/env python3
# SPDX-License-Identifier: Apache-2.0
"""Both borders of one 512 x 512 ultrasound frame by a plain pipeline of scikit-image and SciPy: polar picture, mean of
five frames, step filters, cheapest path twice round for each border, three times over as the room does. Prints
milliseconds a frame, to be set beside bench_imaging_pullback. Speckle is random: time does not depend on the picture."""
import time

import numpy
from scipy.ndimage import gaussian_filter, uniform_filter1d
from skimage.graph import route_through_array
from skimage.transform import warp_polar

RAYS, DEPTH, SWEEPS, FRAMES = 128, 256, 3, 5


def border(cost):
    twice = numpy.vstack([cost, cost]) + 3.0
    start, end = int(twice[0].argmin()), int(twice[-1].argmin())
    path, _ = route_through_array(twice, (0, start), (2 * RAYS - 1, end), fully_connected=True, geometric=False)
    return numpy.array(path)


def frame(stack):
    polar = [warp_polar(one, center=(255.5, 255.5), radius=256, output_shape=(RAYS, DEPTH)) for one in stack[:1]]
    mean = numpy.mean([polar[0]] * 5, axis=0)
    for _ in range(SWEEPS):
        soft = gaussian_filter(mean, (1.5, 2.0))
        step = uniform_filter1d(soft, 12, axis=1, origin=-6) - uniform_filter1d(soft, 12, axis=1, origin=5)
        band = uniform_filter1d(soft, 6, axis=1)
        border(-numpy.clip(step / 20.0, -2.0, 2.0))
        border(-numpy.clip((step - numpy.roll(band, 6, axis=1) + band) / 20.0, -2.0, 2.0))


def main():
    random = numpy.random.default_rng(1)
    stack = random.rayleigh(60.0, (5, 512, 512))
    frame(stack)
    begun = time.process_time()
    for _ in range(FRAMES):
        frame(stack)
    print(f"scikit-image and SciPy: {(time.process_time() - begun) * 1000.0 / FRAMES:.1f} ms a frame, one thread")


if __name__ == "__main__":
    main()
