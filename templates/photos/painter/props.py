"""Pompoms, hooks, a ball of yarn."""

import numpy as np
from PIL import Image, ImageDraw

from .canvas import FUR, WOOD, blur
from .hat import heather


def yarn_pompom(canvas, centre, radius, palette, base, strands=2600, thick=3.4):
    """A ball of cut ends: each a short strand that points outwards."""
    rng = canvas.rng
    cx, cy = centre
    ends = rng.normal(0, 1, (strands, 3))
    ends /= np.linalg.norm(ends, axis=1, keepdims=True)
    ends[:, 2] = np.abs(ends[:, 2]) - 0.25
    for way in sorted(ends.tolist(), key=lambda e: e[2]):
        way = np.asarray(way)
        long = radius * rng.normal(0.985, 0.035)
        bend = rng.normal(0, 0.10, 3)
        pts = []
        for t in np.linspace(0.45, 1.0, 4):
            p = (way + bend * (t - 0.45)) * long * t
            pts.append((cx + p[0], cy + p[1], base + p[2] * 0.82))
        c = heather(rng, palette) * rng.uniform(0.9, 1.08)
        canvas.strand(pts, thick * rng.uniform(0.85, 1.15), c, twist=0.9, phase=rng.uniform(0, 6))


def fur_pompom(canvas, centre, radius, root, tip, base, hairs=30000):
    """A ball of long soft hair that lies over itself, darker at the root."""
    rng = canvas.rng
    cx, cy = centre
    ways = rng.normal(0, 1, (hairs, 3))
    ways /= np.linalg.norm(ways, axis=1, keepdims=True)
    ways[:, 2] = np.abs(ways[:, 2]) - 0.20
    tuft = rng.normal(0, 0.30, (14, 14, 3))
    root, tip = np.asarray(root), np.asarray(tip)
    for i in np.argsort(ways[:, 2]):
        way = ways[i]
        cell = tuft[int((way[0] + 1) * 6.9), int((way[1] + 1) * 6.9)]
        lie = np.array([0.25, 0.42, 0.05]) + cell + rng.normal(0, 0.13, 3)
        lie = lie - way * (lie @ way)
        long = radius * min(rng.normal(0.86, 0.06), 1.0)
        reach = radius * rng.uniform(0.30, 0.62)
        pts = []
        for t in (0.0, 0.4, 0.75, 1.0):
            p = way * long * (0.70 + 0.30 * np.sin(t * 1.9)) + lie * reach * t**1.4
            pts.append((cx + p[0], cy + p[1], base + p[2] * 0.8))
        mix = np.clip(rng.normal(0.62, 0.22), 0, 1)
        shade = root * (1 - mix) + tip * mix
        canvas.strand(pts[:3], 1.15, shade * 0.8, kind=FUR, twist=0.0, mottle=0.05)
        canvas.strand(pts[2:], 0.75, shade * 1.05, kind=FUR, twist=0.0, mottle=0.05)


def halo(image, canvas, centre, radius, colour, count=5000):
    """Hair tips too fine for the height map, laid over the picture round a fur pompom."""
    rng, s = canvas.rng, canvas.scale
    veil = Image.new("L", (canvas.w, canvas.h), 0)
    pen = ImageDraw.Draw(veil)
    for _ in range(count):
        way = rng.uniform(0, 2 * np.pi)
        start = radius * rng.uniform(0.80, 1.0)
        end = start + radius * abs(rng.normal(0.10, 0.06))
        turn = way + 0.16 * np.cos(way) + rng.normal(0, 0.12)
        a = (centre[0] + start * np.cos(way), centre[1] + start * np.sin(way))
        b = (centre[0] + end * np.cos(turn), centre[1] + end * np.sin(turn))
        pen.line([tuple(c * s for c in a), tuple(c * s for c in b)], fill=int(rng.uniform(30, 120)), width=1)
    alpha = blur(np.asarray(veil, np.float32), 0.6 * s)[..., None] / 255 * 0.5
    glow = np.asarray(colour, np.float32) * 0.6
    return image * (1 - alpha) + glow * alpha


def hook(canvas, start, end, thick, colour=(0.62, 0.42, 0.24)):
    """A wooden crochet hook: a turned rod with throat and head."""
    a, b = np.asarray(start, float), np.asarray(end, float)
    def at(t, z=0.0):
        return tuple(a + (b - a) * t) + (thick + z,)
    c = np.asarray(colour)
    canvas.strand([at(0.0), at(0.84)], thick, c, kind=WOOD, twist=0.05)
    canvas.strand([at(0.0), at(0.04)], thick * 1.12, c * 0.9, kind=WOOD, twist=0.0)
    canvas.strand([at(0.40), at(0.47)], thick * 1.04, c * 0.95, kind=WOOD, twist=0.0)
    side = np.array([-(b - a)[1], (b - a)[0]]) / np.linalg.norm(b - a)
    for t, r in zip(np.linspace(0.84, 0.95, 14), np.linspace(1.0, 0.62, 14)):
        p = at(t)
        canvas.strand([p, at(t + 0.01)], thick * r, c, kind=WOOD, twist=0.0)
    tip = a + (b - a) * 0.985
    canvas.strand([at(0.95), tuple(tip) + (thick,)], thick * 0.62, c, kind=WOOD, twist=0.0)
    lip = tip + side * thick * 0.32 - (b - a) / np.linalg.norm(b - a) * thick * 0.3
    canvas.strand([tuple(tip) + (thick,), tuple(lip) + (thick,)], thick * 0.60, c, kind=WOOD, twist=0.0)


def ball(canvas, centre, radius, palette, thick, turns=9, per=11):
    """A wound ball of yarn: layers of turns, each at a new angle."""
    rng = canvas.rng
    cx, cy = centre
    for layer in range(turns):
        axis = rng.normal(0, 1, 3)
        axis[2] = abs(axis[2]) * 0.35
        axis /= np.linalg.norm(axis)
        one = np.cross(axis, [0.3, 0.5, 0.8])
        one /= np.linalg.norm(one)
        two = np.cross(axis, one)
        r = radius * (0.90 + 0.10 * layer / turns)
        for i in range(per):
            off = (i - (per - 1) / 2) * thick * 1.9 / r
            if abs(off) > 0.8:
                continue
            ring = np.sqrt(1 - off * off)
            pts = []
            for t in np.linspace(0, 2 * np.pi, 49):
                p = r * (ring * (np.cos(t) * one + np.sin(t) * two) + off * axis)
                pts.append((cx + p[0], cy + p[1], radius * 0.95 + p[2]))
            canvas.strand(pts, thick, heather(rng, palette), phase=rng.uniform(0, 6))


def tail(canvas, points, thick, palette):
    """A loose end of yarn lying on the table, smoothed through its points."""
    rng = canvas.rng
    pts = bend(points)
    canvas.strand([tuple(p) + (thick * 0.9,) for p in pts], thick, heather(rng, palette))


def bend(points, times=4):
    """A way through the points with its corners rounded."""
    pts = np.asarray(points, float)
    for _ in range(times):
        q = 0.75 * pts[:-1] + 0.25 * pts[1:]
        r = 0.25 * pts[:-1] + 0.75 * pts[1:]
        pts = np.concatenate([pts[:1], np.stack([q, r], 1).reshape(-1, 2), pts[-1:]])
    return pts


def cord(canvas, points, thick, palette, lift=0.0):
    """A tie of slip stitches on a chain: a narrow braid, knotted at its end."""
    rng = canvas.rng
    pts = bend(points)
    way = np.concatenate([[0], np.cumsum(np.hypot(*np.diff(pts, axis=0).T))])
    pitch = thick * 2.1
    def at(d):
        return np.array([np.interp(d, way, pts[:, 0]), np.interp(d, way, pts[:, 1])])
    for d in np.arange(0, way[-1] - pitch, pitch):
        p, q = at(d), at(d + pitch * 1.5)
        side = np.array([-(q - p)[1], (q - p)[0]]) / max(np.hypot(*(q - p)), 1e-6)
        c = heather(rng, palette)
        for s in (-1, 1):
            a, b, e = p + side * s * thick * 0.25, p + (q - p) * 0.5 + side * s * thick * 1.05, q + side * s * thick * 0.35
            z = thick * 0.9 + lift
            canvas.strand([tuple(a) + (z + 1,), tuple(b) + (z + 3,), tuple(e) + (z - 1,)], thick * 0.86, c,
                          phase=rng.uniform(0, 6))
    end, before = at(way[-1]), at(way[-1] - pitch)
    go = (end - before) / max(np.hypot(*(end - before)), 1e-6)
    side = np.array([-go[1], go[0]])
    for s in (-1, 0, 1):
        loop = [end + side * 1.7 * thick * np.cos(t) + go * thick * (s * 0.9 + 0.5 * np.sin(t)) for t in np.linspace(0, np.pi, 6)]
        zs = [thick * (1.2 + 1.1 * np.sin(t)) + lift for t in np.linspace(0, np.pi, 6)]
        canvas.strand([tuple(p) + (z,) for p, z in zip(loop, zs)], thick * 0.9, heather(rng, palette))
    for s in (-0.5, 0.1, 0.55):
        tip = end + go * thick * rng.uniform(5, 7) + side * s * thick * 3
        canvas.strand([tuple(end) + (thick,), tuple((end + tip) / 2 + side * s * thick) + (thick,), tuple(tip) + (thick * 0.6,)],
                      thick * 0.7, heather(rng, palette))
