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
from painter.stitches import Knot, cluster, half_double, rib, selvedge, vee

TEAL = [(0.034, 0.125, 0.140), (0.048, 0.160, 0.168), (0.022, 0.084, 0.108), (0.100, 0.215, 0.205), (0.045, 0.120, 0.165)]
RUST = [(0.36, 0.085, 0.028), (0.42, 0.120, 0.034), (0.29, 0.062, 0.026), (0.46, 0.165, 0.050)]


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


def keep(picture, path, most=390_000):
    """Saves at quality 82, or less if the file would pass `most` bytes."""
    for quality in range(82, 60, -2):
        picture.save(path, quality=quality, optimize=True, progressive=True)
        if path.stat().st_size <= most:
            return


DESIGNS = {"harbour-rib": harbour_rib, "larch-walk": larch_walk}


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
