"""A hat lying flat: where a point of its fabric stands in the picture."""

import numpy as np


class Hat:
    """Fabric place (u, v): u from -1 to 1 across the front, v from 0 (brim) to 1 (top)."""

    def __init__(self, canvas, centre, width, height, outline, tilt=0.0, thick=58.0, sag=0.10):
        self.canvas, self.centre = canvas, centre
        self.half, self.height = width / 2, height
        self.outline, self.tilt, self.thick, self.sag = outline, np.radians(tilt), thick, sag

    def at(self, u, v, lift=0.0, swell=0.0):
        """Picture place (x, y, z); `lift` stands off the fabric, `swell` widens a cuff."""
        s = np.sin(1.32 * u) / np.sin(1.32)
        half = self.half * self.outline(v) + swell
        x = half * s
        y = -self.height * v + self.sag * self.height * s * s * (0.25 + v * v) * min(1.0, v * 3 + 0.2)
        edge = max(1 - abs(s) ** 2.6, 0) ** 0.5
        top = min(1.0, max(0.0, (1.04 - v) / 0.30)) ** 0.5
        foot = 0.55 + 0.45 * min(1.0, max(v, 0.0) / 0.18)
        z = self.thick * edge * (0.30 + 0.70 * top) * foot + lift + 4
        return self.turn(x, y) + (z,)

    def turn(self, x, y):
        c, s = np.cos(self.tilt), np.sin(self.tilt)
        return (self.centre[0] + x * c - y * s, self.centre[1] + x * s + y * c)

    def narrow(self, u):
        """How much narrower things look where the fabric turns away."""
        return 0.50 + 0.50 * np.cos(1.32 * u)

    def fine(self, u, v):
        """How much thinner the yarn looks there."""
        return 1.0

    def lining(self, colour, v0=0.0, v1=1.0, swell=0.0, lift=-9.0):
        """Fills the fabric's body so that no table shows between stitches."""
        for v in np.linspace(v0, v1, 60):
            us = np.linspace(-1, 1, 41)
            r = self.height / 60 * 1.1
            pts = [self.at(u, v, lift - r, swell - 13) for u in us]
            self.canvas.strand(pts, r, colour, twist=0.0)


def dome(start=0.62, power=2.3, end=0.0, taper=0.0):
    """Outline: straight sides that round off from `start` to the top."""
    def half(v):
        straight = 1 - taper * max(0.0, 0.3 - v)
        if v <= start:
            return straight
        t = min((v - start) / (1 - start), 1.0)
        return max((1 - t**power) ** (1 / power), 0.0) * (1 - end) + end
    return half


def heather(rng, palette):
    """One strand's colour out of a palette of blended fibres."""
    a, b = rng.integers(0, len(palette), 2)
    t = rng.uniform(0, 1)
    even = np.mean(palette, axis=0)
    mixed = 0.45 * (np.asarray(palette[a]) * t + np.asarray(palette[b]) * (1 - t)) + 0.55 * even
    return mixed * rng.uniform(0.95, 1.05)
