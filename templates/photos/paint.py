#!/usr/bin/env python3
"""Paints the demo pictures: python3 paint.py [--scale N] [NAME ...]

Each picture is made of strands of yarn laid into a height map and lit; nothing is
photographed. Same seed and same versions of numpy and Pillow give the same bytes.
"""

import argparse
from pathlib import Path

import numpy as np

from painter import ground, light, props
from painter.canvas import Canvas
from painter.hat import Hat, dome
from painter.stitches import Knot, cluster, half_double, post, rib, selvedge, vee
from painter.turned import Turned

TEAL = [(0.034, 0.125, 0.140), (0.048, 0.160, 0.168), (0.022, 0.084, 0.108), (0.100, 0.215, 0.205), (0.045, 0.120, 0.165)]
RUST = [(0.36, 0.085, 0.028), (0.42, 0.120, 0.034), (0.29, 0.062, 0.026), (0.46, 0.165, 0.050)]

SEA = [(0.060, 0.235, 0.180), (0.075, 0.275, 0.205), (0.045, 0.190, 0.155), (0.110, 0.315, 0.225)]
SLATE = [(0.150, 0.160, 0.178), (0.185, 0.195, 0.210), (0.110, 0.120, 0.138), (0.230, 0.235, 0.240)]
PLUM = [(0.130, 0.026, 0.078), (0.160, 0.034, 0.100), (0.095, 0.018, 0.064), (0.190, 0.052, 0.120)]
RUSSET = [(0.200, 0.050, 0.026), (0.235, 0.066, 0.032), (0.155, 0.036, 0.021), (0.265, 0.088, 0.046)]
WEIR = [(0.120, 0.180, 0.260), (0.150, 0.215, 0.300), (0.090, 0.140, 0.215), (0.205, 0.265, 0.330)]
NAVY = [(0.020, 0.032, 0.088), (0.026, 0.042, 0.108), (0.015, 0.024, 0.068)]
CREAM = [(0.660, 0.585, 0.450), (0.700, 0.630, 0.500), (0.610, 0.530, 0.395)]
SIGNAL = [(0.430, 0.030, 0.026), (0.480, 0.040, 0.032), (0.370, 0.022, 0.022)]
BOTTLE = [(0.016, 0.088, 0.050), (0.022, 0.108, 0.062), (0.011, 0.066, 0.040), (0.036, 0.130, 0.078)]


def rows(v0, v1, step):
    count = max(1, int(round((v1 - v0) / step)))
    return [v0 + (i + 0.5) * (v1 - v0) / count for i in range(count)], (v1 - v0) / count


def harbour_rib(scale):
    rng = np.random.default_rng(410)
    w, h = 1200, 1500
    c = Canvas(w, h, scale, rng)
    ground.wood(c, plank=420)
    hat = Hat(c, (590, 1330), 830, 960, dome(0.60, 2.4, 0.13), tilt=4, thick=70)
    k = Knot(hat, rng, TEAL, 7.6)
    c.tint[:] = (0.9, 0.25, 0.05)
    hat.lining(np.asarray(TEAL[2]) * 0.6, 0.05, 0.985)
    vs, dv = rows(0.29, 0.985, 0.062)
    for i, v in enumerate(vs):
        count = 17
        du = 2 / count
        for j in range(-1, count + 2):
            u = -1 + (j + 0.5 * (i % 2)) * du
            if -1 <= u <= 1:
                cluster(k, u, v, du, dv)
    hat.lining(np.asarray(TEAL[2]) * 0.6, 0.02, 0.30, 16, 6)
    for i in range(25):
        u = -0.985 + (i + 0.5) * 1.97 / 25
        rib(k, u, 0.0, 0.315, 1.97 / 25, 13, lift=16, swell=16, relief=20)
    top = hat.at(0, 0.985)
    pom = (top[0] + 6, top[1] - 70)
    props.fur_pompom(c, pom, 158, (0.17, 0.12, 0.085), (0.70, 0.60, 0.47), 92)
    image = light.lit(c)
    image = light.fuzz(image, c, 5200, 17)
    image = props.halo(image, c, pom, 158, (0.62, 0.54, 0.45))
    return light.camera(image, c, w, h)


def larch_walk(scale):
    rng = np.random.default_rng(77)
    w, h = 1600, 1200
    c = Canvas(w, h, scale, rng)
    ground.linen(c)
    hat = Hat(c, (700, 1080), 800, 830, dome(0.50, 2.5, 0.04), tilt=-6, thick=78, sag=0.09)
    k = Knot(hat, rng, RUST, 6.6)
    c.tint[:] = (0.12, 0.35, 0.5)
    hat.lining(np.asarray(RUST[2]) * 0.6, 0.03, 0.985)
    vs, dv = rows(0.03, 0.50, 0.040)
    for i, v in enumerate(vs):
        count = 36
        for j in range(count):
            half_double(k, -1 + (j + 0.5 + 0.06 * i % 1) * 2 / count, v, 2 / count, dv)
    crown(k, 0.50, 0.985, 4.5, 8)
    selvedge(k, 0.006, 2 / 36, lift=3)
    top = hat.at(0, 0.985)
    props.yarn_pompom(c, (top[0] - 8, top[1] - 52), 122, RUST, 84)
    props.ball(c, (1330, 860), 150, RUST, 7.0)
    props.tail(c, [(1330, 1010), (1290, 1090), (1180, 1060), (1120, 1120), (1010, 1150)], 6.4, RUST)
    props.hook(c, (1500, 300), (1190, 560), 11)
    image = light.lit(c)
    image = light.fuzz(image, c, 5200, 15)
    return light.camera(image, c, w, h)


def crown(k, v0, v1, per_wedge_start, wedges):
    """Rounds that lose one stitch in each wedge: the decreases stand above each other."""
    vs, dv = rows(v0, v1, 0.040)
    for i, v in enumerate(vs):
        inner = max(0, int(round((per_wedge_start + 1) * k.hat.outline(v) * (1 - 0.25 * i / len(vs)))) - 1)
        du = 2 / (wedges * (inner + 1))
        for wedge in range(wedges):
            for j in range(inner + 1):
                u = -1 + (wedge * (inner + 1) + j + 0.5) * du
                if j == 0:
                    vee(k, u, v, du * 1.25, dv * 1.15, lift=6, lean=0.2, fat=1.2)
                else:
                    half_double(k, u, v, du, dv)


def tide_pool(scale):
    rng = np.random.default_rng(1207)
    w, h = 1200, 1500
    c = Canvas(w, h, scale, rng)
    ground.plaster(c, (0.70, 0.66, 0.60))
    cap = Turned(c, (590, 540), 425, [(0, 0, 0), (0.55, -0.015, 0), (0.96, -0.045, 0), (1.03, -0.14, 0), (1.05, -0.5, 0),
                                      (1.03, -1.0, 0), (0.99, -1.40, 0)], lean=45, tilt=-5, flat=0.36, base=135)
    k = Knot(cap, rng, SEA, 8.4)
    c.tint[:] = (0.6, 0.12, 0.25)
    cap.lining(np.asarray(SEA[2]) * 0.6)
    edge = cap.length - 0.115
    vs, dv = rows(0.05, edge, 0.098)
    magic_ring(k, 0.055)
    for i, v in enumerate(vs):
        count = min(8 * (i + 1), 80)
        for j in range(count):
            seen_half_double(k, -1 + (j + 0.5 + 0.13 * i) * 2 / count, v, 2 / count, dv)
    firm_edge(k, edge, cap.length, 2, 80)
    props.hook(c, (1060, 1180), (860, 1420), 12)
    image = light.lit(c)
    image = light.fuzz(image, c, 4800, 15)
    return light.camera(image, c, w, h)


def fell_gate(scale):
    rng = np.random.default_rng(88)
    w, h = 1200, 1500
    c = Canvas(w, h, scale, rng)
    ground.wood(c, light=(0.40, 0.30, 0.21), dark=(0.17, 0.11, 0.07), plank=380, upright=True)
    c.tint[:] = (0.25, 0.2, 0.15)
    hat = Hat(c, (600, 880), 800, 690, dome(0.36, 2.2, 0.02), tilt=2, thick=80, sag=0.05)
    for side in (-1, 1):
        foot = hat.turn(side * 238, 8)
        flap = Hat(c, foot, 322, 235, earflap, tilt=182 - side * 5, thick=58, sag=0.0)
        k = Knot(flap, rng, SLATE, 8.6)
        tip = flap.at(0, 1.0)
        way = [(tip[0], tip[1] - 12), (tip[0] + side * 10, tip[1] + 70), (tip[0] + side * 70, tip[1] + 130),
               (tip[0] + side * 30, tip[1] + 215), (tip[0] - side * 60, tip[1] + 235),
               (tip[0] - side * (95 if side < 0 else 70), tip[1] + (310 if side < 0 else 285))]
        props.cord(c, way, 7.4, SLATE)
        flap.lining(np.asarray(SLATE[2]) * 0.6, -0.1, 0.97, 4)
        vs, dv = rows(-0.06, 0.99, 0.118)
        for i, v in enumerate(vs):
            count = max(1, int(round(13 * earflap(v))))
            for j in range(count):
                vee(k, -1 + (j + 0.5) * 2 / count, v, 2 / count, dv * (1 if i % 2 else -1))
    k = Knot(hat, rng, SLATE, 9.2)
    hat.lining(np.asarray(SLATE[2]) * 0.6, 0.02, 0.985)
    vs, dv = rows(0.015, 0.985, 0.051)
    for i, v in enumerate(vs):
        count = max(3, int(round(28 * hat.outline(v))))
        for j in range(count):
            half_double(k, -1 + (j + 0.5) * 2 / count, v, 2 / count, -dv)
    image = light.lit(c)
    image = light.fuzz(image, c, 5600, 17)
    return light.camera(image, c, w, h)


def earflap(v):
    """Outline of a flap: full width at the hat, then narrowing evenly to a point."""
    return 1.0 if v < 0.12 else max(1 - 0.93 * (v - 0.12) / 0.88, 0.05)


def post_road(scale):
    rng = np.random.default_rng(319)
    w, h = 1600, 1200
    c = Canvas(w, h, scale, rng)
    ground.linen(c, warp=(0.66, 0.60, 0.50), weft=(0.60, 0.54, 0.45))
    c.tint[:] = (0.15, 0.3, 0.3)
    tall = [(1.0, 0, 0), (1.025, -0.3, 0), (1.03, -0.6, 0), (1.0, -1.02, 0)]
    shape = dict(lean=58, tilt=-4, flat=0.12, base=66, broad=1.32, deep=0.58)
    for inner in (True, False):
        wall = Turned(c, (720, 430), 430, tall, inner=inner, **shape)
        u0, u1 = (0.50, 1.50) if inner else (-0.50, 0.50)
        inset = 0.07 if inner else 0.03
        wall.lining(np.asarray(PLUM[2]) * 0.5, 0.14, wall.length - 0.06, lift=-14, u0=u0 + inset, u1=u1 - inset)
        k = Knot(wall, rng, PLUM, 11.6)
        ridges = 46
        du = 2 / ridges
        for i in range(ridges):
            u = 0.5 - du / 2 + i * du if inner else -0.5 - du / 2 + i * du
            if u < u1 + du:
                rib(k, u, 0.0, wall.length, du, 11, relief=16 if inner else 22)
                for v in (0.012, wall.length - 0.012):
                    c0 = k.colour()
                    k.lay([(u - 0.55 * du, v, 0), (u, v, 12), (u + 0.55 * du, v, 0)], c0, 1.0)
    props.ball(c, (1400, 950), 120, PLUM, 7.2)
    props.tail(c, [(1400, 1070), (1350, 1120), (1230, 1100), (1150, 1140), (1060, 1120)], 6.6, PLUM)
    image = light.lit(c)
    image = light.fuzz(image, c, 5200, 15)
    return light.camera(image, c, w, h)


def millstone(scale):
    rng = np.random.default_rng(1846)
    w, h = 1600, 1200
    c = Canvas(w, h, scale, rng)
    ground.wood(c, light=(0.58, 0.47, 0.34), dark=(0.34, 0.24, 0.15), plank=460)
    c.tint[:] = (0.15, 0.3, 0.35)
    waves = rng.uniform(0, 6, 4)
    def waver(u, v):
        soft = np.sin(2 * np.pi * u + waves[0]) * 0.018 + np.sin(3 * np.pi * u + waves[1]) * 0.014
        return soft * min(v, 1.0) ** 2
    plate = [(0, 0.11, 0), (0.45, 0.10, 0), (0.82, 0.045, 0), (1.02, -0.08, 0), (1.04, -0.20, 0), (0.90, -0.33, 0)]
    under = [(0.72, -0.39, 0), (0.635, -0.43, 0), (0.625, -0.50, 0), (0.64, -0.73, 0)]
    beret = Turned(c, (790, 470), 550, plate + under,
                   lean=62, tilt=-5, flat=0.16, base=108, waver=waver)
    beret.lining(np.asarray(RUSSET[2]) * 0.6)
    k = Knot(beret, rng, RUSSET, 6.9)
    band = beret.length - 0.235
    vs, dv = rows(0.045, band, 0.060)
    magic_ring(k, 0.04)
    for i, v in enumerate(vs):
        r = beret.outline(v)
        count = max(8, int(round(r / 0.0625)) * 8)
        for j in range(count):
            seen_half_double(k, -1 + (j + 0.5 + 0.17 * i) * 2 / count, v, 2 / count, dv)
    firm_edge(k, band, beret.length, 5, 92, fat=0.92)
    image = light.lit(c)
    image = light.fuzz(image, c, 5600, 14)
    return light.camera(image, c, w, h)


def weir_turn(scale):
    rng = np.random.default_rng(530)
    w, h = 1200, 1500
    c = Canvas(w, h, scale, rng)
    ground.linen(c, warp=(0.66, 0.63, 0.58), weft=(0.59, 0.56, 0.52), folds=2.0)
    c.tint[:] = (0.3, 0.2, 0.12)
    hat = Ribbed(c, (600, 1270), 830, 900, dome(0.44, 2.5, 0.12), tilt=-4, thick=84, sag=0.07)
    hat.lining(np.asarray(WEIR[2]) * 0.6, 0.01, 0.985)
    k = Knot(hat, rng, WEIR, 8.6)
    ribs = 22
    for i in range(ribs):
        u = -0.985 + (i + 0.5) * 1.97 / ribs
        if i % 2:
            rib(k, u, 0.0, 0.95, 1.97 / ribs, 30, lift=-2, relief=15)
        else:
            rib(k, u, 0.0, 1.0, 1.97 / ribs, 32, relief=19)
    gather(k, 11)
    image = light.lit(c)
    image = light.fuzz(image, c, 5200, 15)
    return light.camera(image, c, w, h)


def signal_box(scale):
    rng = np.random.default_rng(246)
    w, h = 1200, 1500
    c = Canvas(w, h, scale, rng)
    ground.plaster(c, (0.62, 0.64, 0.66))
    hat = Hat(c, (590, 1330), 820, 880, dome(0.50, 2.3, 0.05), tilt=4, thick=80, sag=0.08)
    hat.lining(np.asarray(NAVY[2]) * 0.8, 0.02, 0.80)
    hat.lining(np.asarray(CREAM[2]) * 0.6, 0.86, 0.975)
    k = Knot(hat, rng, NAVY, 7.0)
    vs, dv = rows(0.0, 0.135, 0.0225)
    for i, v in enumerate(vs):
        for j in range(38):
            vee(k, -1 + (j + 0.5) * 2 / 38, v, 2 / 38, dv * 1.1, lift=7 if i % 2 else 1, swell=3)
    selvedge(k, 0.0, 2 / 38, lift=4, swell=3)
    vs, dv = rows(0.135, 0.985, 0.0345)
    for i, v in enumerate(vs):
        k.palette = CREAM if i >= len(vs) - 3 else (CREAM, SIGNAL, NAVY)[i // 2 % 3]
        c.tint[:] = (0.02, 0.03, 0.05) if k.palette is CREAM else (0.08, 0.1, 0.1)
        count = max(6, int(round(38 * hat.outline(v))))
        for j in range(count):
            half_double(k, -1 + (j + 0.5 + 0.05 * i % 1) * 2 / count, v, 2 / count, dv)
    top = hat.at(0, 0.985)
    props.yarn_pompom(c, (top[0] + 6, top[1] - 60), 138, SIGNAL, 86, strands=3200)
    image = light.lit(c)
    image = light.fuzz(image, c, 5200, 15)
    return light.camera(image, c, w, h)


def causeway(scale):
    rng = np.random.default_rng(901)
    w, h = 1600, 1200
    c = Canvas(w, h, scale, rng)
    ground.wood(c, light=(0.52, 0.40, 0.27), dark=(0.26, 0.17, 0.10), plank=400)
    c.tint[:] = (0.5, 0.15, 0.25)
    hat = Ribbed(c, (690, 1080), 790, 850, dome(0.46, 2.5, 0.10), tilt=-5, thick=80, sag=0.08)
    hat.lining(np.asarray(BOTTLE[2]) * 0.5, 0.01, 0.985)
    k = Knot(hat, rng, BOTTLE, 8.6)
    ribs = 10
    wide = 2 / ribs
    vs, dv = rows(0.03, 0.99, 0.0485)
    for i, v in enumerate(vs):
        shrink = 1.0 if v < 0.80 else 0.82
        for j in range(ribs + 1):
            u = -1 + j * wide
            for side in (-1, 1):
                b = u + side * 0.13 * wide
                if -1 < b < 1:
                    vee(k, b, v, 0.22 * wide, -dv, lift=-7, fat=0.85)
        for j in range(ribs):
            u = -1 + (j + 0.5) * wide
            for side in (-1, 1):
                post(k, u + side * 0.135 * wide * shrink, v, 0.27 * wide * shrink, dv, lift=6, height=15)
    selvedge(k, 0.004, 2 / 40, lift=2)
    gather(k, 10)
    props.ball(c, (1330, 820), 150, BOTTLE, 8.0)
    props.tail(c, [(1330, 970), (1300, 1060), (1190, 1050), (1150, 1110), (1300, 1140)], 7.2, BOTTLE)
    image = light.lit(c)
    image = light.fuzz(image, c, 5200, 15)
    return light.camera(image, c, w, h)


class Ribbed(Hat):
    """A hat whose ribs narrow with its outline, so that their yarn seems finer above."""

    def fine(self, u, v):
        return 0.52 + 0.48 * min(1.0, self.outline(v) * 1.15)


def magic_ring(k, v):
    """The ring the first round is worked into."""
    for turn in (0.62, 0.86):
        ring = [(u, v * turn, 1.0) for u in np.linspace(-1, 1, 25)]
        k.lay(ring, k.colour(), 0.8)


def seen_half_double(k, u, v, du, dv):
    """A half double crochet, unless it is on the far side."""
    u = (u + 1) % 2 - 1
    if k.hat.facing(u, v) > -0.15:
        half_double(k, u, v, du, dv)


def firm_edge(k, v0, v1, rounds, count, fat=1.0):
    """Rounds of single crochet in one loop, each standing off the one before."""
    dv = (v1 - v0) / rounds
    for i in range(rounds):
        v = v0 + (i + 0.5) * dv
        for j in range(count):
            u = -1 + (j + 0.5 + 0.2 * i) * 2 / count
            if k.hat.facing((u + 1) % 2 - 1, v) > -0.15:
                vee(k, u, v, 2 / count, dv * 1.05, lift=2, fat=fat)
        for j in range(count):
            u = -1 + (j + 0.5 + 0.2 * i) * 2 / count
            if k.hat.facing((u + 1) % 2 - 1, v) > -0.15:
                c = k.colour()
                k.lay([(u - 0.55 / count, v + 0.42 * dv, 3), (u + 1.5 / count, v + 0.5 * dv, 5)], c, 0.8 * fat, 2)


def gather(k, folds):
    """Where the last round is drawn together: folds that meet in a small knot."""
    x, y, z = k.hat.at(0, 1.0)
    canvas, rng = k.hat.canvas, k.rng
    for i in range(folds):
        way = np.pi * (i + 0.5) / folds
        reach = 30 + rng.normal(0, 2)
        a = k.hat.tilt
        dx, dy = np.cos(way) * reach * 1.25, np.sin(way) * reach * 0.9
        out = (x + dx * np.cos(a) - dy * np.sin(a), y + dx * np.sin(a) + dy * np.cos(a) + 4)
        mid = ((x + out[0]) / 2, (y + out[1]) / 2)
        canvas.strand([(x, y + 4, 34), mid + (44,), out + (36,)], 7.5, k.colour(), phase=rng.uniform(0, 6))


def keep(picture, path, most=345_000):
    """Saves at quality 82, or less if the file would pass `most` bytes."""
    for quality in range(82, 60, -2):
        picture.save(path, quality=quality, optimize=True, progressive=True)
        if path.stat().st_size <= most:
            return


DESIGNS = {
    "harbour-rib": harbour_rib,
    "larch-walk": larch_walk,
    "tide-pool": tide_pool,
    "fell-gate": fell_gate,
    "post-road": post_road,
    "millstone": millstone,
    "weir-turn": weir_turn,
    "signal-box": signal_box,
    "causeway": causeway,
}


def main():
    ask = argparse.ArgumentParser(description=__doc__)
    ask.add_argument("names", nargs="*")
    ask.add_argument("--scale", type=int, default=2, help="2 for the kept pictures, 1 for a quick look")
    ask.add_argument("--out", type=Path, default=Path(__file__).parent)
    asked = ask.parse_args()
    for name in asked.names or DESIGNS:
        picture = DESIGNS[name](asked.scale)
        keep(picture, asked.out / f"{name}.jpg")


if __name__ == "__main__":
    main()
