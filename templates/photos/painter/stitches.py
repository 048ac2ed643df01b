"""Stitches as strands of yarn, each drawn in its cell of the fabric."""

import numpy as np

from .hat import heather


class Knot:
    """Shared by all stitches of one hat: its shape, yarn and the unevenness of hands."""

    def __init__(self, hat, rng, palette, thickness):
        self.hat, self.rng, self.palette, self.r = hat, rng, palette, thickness

    def lay(self, points, colour, radius=1.0, lift=0.0, swell=0.0, phase=None):
        """Points are (u, v, height over the fabric)."""
        h, rng = self.hat, self.rng
        mid = points[len(points) // 2]
        r = self.r * radius * (0.60 + 0.40 * h.narrow(mid[0])) * h.fine(mid[0], mid[1])
        placed = [h.at(u, v, lift + z - r, swell) for u, v, z in points]
        phase = rng.uniform(0, 6) if phase is None else phase
        h.canvas.strand(placed, r, colour, phase=phase, mottle=0.13)

    def colour(self):
        return heather(self.rng, self.palette)

    def wobble(self, size):
        return self.rng.normal(0, size)


def curve(p, q, bulge, lift, n=5):
    """From p to q, swelling sideways by `bulge` and upwards by `lift`."""
    out = []
    for t in np.linspace(0, 1, n):
        arch = np.sin(np.pi * t)
        out.append((p[0] + (q[0] - p[0]) * t + bulge * arch, p[1] + (q[1] - p[1]) * t,
                    p[2] + (q[2] - p[2]) * t + lift * arch))
    return out


def vee(k, u, v, du, dv, lift=0.0, lean=0.0, swell=0.0, fat=1.0):
    """A plain stitch from the right side: two legs meeting below, a bar behind them."""
    c = k.colour()
    ju, jv = k.wobble(0.03) * du, k.wobble(0.05) * dv
    u, v = u + ju, v + jv
    back = curve((u - 0.5 * du, v + 0.30 * dv, 0), (u + 0.5 * du, v + 0.40 * dv, 0), 0, 2)
    k.lay(back, c * 0.92, 0.85 * fat, lift - 2, swell)
    for side in (-1, 1):
        top = (u + side * 0.42 * du + lean * du, v + 0.52 * dv, 0)
        foot = (u + side * 0.06 * du, v - 0.50 * dv, -1.5)
        k.lay(curve(top, foot, side * 0.05 * du, 4.0), c, 1.0 * fat, lift, swell)


def half_double(k, u, v, du, dv, lift=0.0, lean=0.0, swell=0.0):
    """A taller stitch: legs with the slanting wrap under the top."""
    c = k.colour()
    u, v = u + k.wobble(0.03) * du, v + k.wobble(0.03) * dv
    k.lay(curve((u - 0.28 * du, v - 0.55 * dv, 0), (u - 0.20 * du, v + 0.2 * dv, 1), 0, 2), c, 0.95, lift - 1, swell)
    k.lay(curve((u + 0.18 * du, v - 0.55 * dv, 0), (u + 0.22 * du, v + 0.2 * dv, 1), 0, 2), c, 0.95, lift - 1, swell)
    k.lay(curve((u - 0.46 * du, v - 0.02 * dv, 1), (u + 0.42 * du, v + 0.24 * dv, 1), 0, 4), c, 0.95, lift + 1, swell)
    for side in (-1, 1):
        top = (u + side * 0.40 * du + lean * du, v + 0.56 * dv, 0.5)
        foot = (u + side * 0.10 * du + 0.5 * lean * du, v + 0.20 * dv, 0)
        k.lay(curve(top, foot, side * 0.04 * du, 3.0, 4), c, 0.92, lift + 1, swell)


def post(k, u, v, du, dv, lift=0.0, swell=0.0, height=9.0):
    """A stitch worked round the one below: a thick upright ridge."""
    c = k.colour()
    u = u + k.wobble(0.03) * du
    for side in (-1, 1):
        foot = (u + side * 0.20 * du, v - 0.60 * dv, height * 0.35)
        top = (u + side * 0.17 * du, v + 0.62 * dv, height * 0.5)
        k.lay(curve(foot, top, side * 0.07 * du, height * 0.7, 7), c, 1.12, lift, swell)
    k.lay(curve((u - 0.36 * du, v + 0.12 * dv, height * 0.5), (u + 0.34 * du, v + 0.34 * dv, height * 0.6), 0, 6),
          c, 0.98, lift + 1, swell)


def cluster(k, u, v, du, dv, lift=0.0, swell=0.0, legs=5):
    """A motif: legs that rise from one foot, gathered again under an eye."""
    c = k.colour()
    u, v = u + k.wobble(0.02) * du, v + k.wobble(0.02) * dv
    for i in sorted(range(legs), key=lambda i: -abs(i - (legs - 1) / 2)):
        side = (i - (legs - 1) / 2) / ((legs - 1) / 2)
        foot = (u + 0.16 * side * du, v - 0.52 * dv, 1)
        top = (u + 0.13 * side * du, v + 0.34 * dv, 3)
        k.lay(curve(foot, top, 0.30 * side * du, 11 - 4 * abs(side), 8), c * k.rng.uniform(0.95, 1.05), 0.95, lift, swell)
    for side in (-1, 1):
        eye = curve((u - 0.22 * du, v + 0.44 * dv, 3), (u + 0.22 * du, v + 0.44 * dv, 3), 0, 4)
        eye = [(a, b + side * 0.08 * dv * np.sin(np.pi * i / (len(eye) - 1)), z) for i, (a, b, z) in enumerate(eye)]
        k.lay(eye, c, 0.8, lift + 2, swell)
    k.lay(curve((u + 0.2 * du, v + 0.42 * dv, 2), (u + 0.8 * du, v + 0.42 * dv, 2), 0, 2), c * 0.95, 0.8, lift, swell)


def rib(k, u, v0, v1, du, stitches, lift=0.0, swell=0.0, relief=12.0):
    """One upright rib of fabric worked sideways: slanting strands stacked to a braid,
    with a furrow on either side."""
    dv = (v1 - v0) / stitches
    for i in range(stitches + 1):
        v = v0 + i * dv
        c = k.colour() * 0.80
        k.lay(curve((u - 0.55 * du, v, 0), (u - 0.30 * du, v + 0.3 * dv, 0), 0, 0, 3), c, 0.9, lift - 3, swell)
    for i in range(stitches):
        v = v0 + (i + 0.5) * dv + k.wobble(0.04) * dv
        c = k.colour()
        jog = k.wobble(0.02) * du
        for side in (1, -1):
            outer = (u + side * 0.36 * du + jog, v + 0.62 * dv, 0.15 * relief)
            inner = (u + side * 0.04 * du + jog, v - 0.52 * dv, 0.80 * relief)
            k.lay(curve(outer, inner, side * 0.06 * du, 0.34 * relief, 6), c, 1.02, lift, swell)


def selvedge(k, v, du, lift=0.0, swell=0.0, fat=1.1):
    """A braid of chain tops along an edge, with the crab-like slant of a finished brim."""
    count = int(2 / du)
    for i in range(count + 1):
        u = -1 + i * du
        c = k.colour()
        for rise in (0.0, 0.011):
            a = (max(u - 0.45 * du, -1), v + rise, 0)
            b = (min(u + 0.75 * du, 1), v + rise + 0.005, 0)
            k.lay(curve(a, b, 0, 4, 5), c, fat * 0.85, lift, swell)
