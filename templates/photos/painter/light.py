"""Light on the canvas: one window, the sky's share, shadows, then the camera."""

import numpy as np
from PIL import Image, ImageDraw

from .canvas import FUR, TABLE, WOOD, YARN, blur

SUN = np.array([-0.58, -0.52, 0.63], np.float32)
SUN_COLOUR = np.array([1.0, 0.95, 0.86], np.float32)
SKY_COLOUR = np.array([0.86, 0.93, 1.04], np.float32)
BOUNCE = np.array([1.0, 0.86, 0.72], np.float32)


def normals(z):
    dy, dx = np.gradient(z)
    n = np.stack([-dx, -dy, np.ones_like(z)], -1)
    return n / np.linalg.norm(n, axis=-1, keepdims=True)


def shadow(z, reach, steps=56, soft=0.16):
    """How much of the window is seen from each point, 0 to 1: marches towards it."""
    sun = SUN / np.hypot(SUN[0], SUN[1])
    rise = SUN[2] / np.hypot(SUN[0], SUN[1])
    blocked = np.zeros_like(z)
    for i in range(1, steps + 1):
        d = reach * (i / steps) ** 1.6
        sx, sy = int(round(sun[0] * d)), int(round(sun[1] * d))
        over = shifted(z, sx, sy) - z - d * rise
        np.maximum(blocked, np.clip(over / (soft * d + 1.5) + 0.5, 0, 1), out=blocked)
    return 1 - blocked


def shifted(z, sx, sy):
    """z at (x + sx, y + sy), edges repeated."""
    h, w = z.shape
    ys = np.clip(np.arange(h) + sy, 0, h - 1)
    xs = np.clip(np.arange(w) + sx, 0, w - 1)
    return z[ys][:, xs]


def occlusion(z, scale):
    """Share of the sky seen, from how far each point lies under its surroundings."""
    dark = np.zeros_like(z)
    for radius, weight in ((3, 0.32), (8, 0.34), (24, 0.26), (70, 0.22)):
        r = radius * scale
        under = (blur(z, r) - z) / (0.55 * r)
        dark += weight * np.clip(under, 0, 1.0)
    return np.clip(1 - dark, 0.14, 1)


def lit(canvas):
    z, kind = canvas.z, canvas.kind
    n = normals(z)
    facing = n @ (SUN / np.linalg.norm(SUN))
    wrap = np.where(kind == TABLE, 0.0, 0.28).astype(np.float32)
    diffuse = np.clip((facing + wrap) / (1 + wrap), 0, 1)
    seen = blur(shadow(z, 190 * canvas.scale), 1.6 * canvas.scale)
    sky = occlusion(z, canvas.scale) * (0.62 + 0.38 * n[..., 2])
    light = (
        1.02 * (diffuse * seen)[..., None] * SUN_COLOUR
        + 0.46 * sky[..., None] * SKY_COLOUR
        + 0.10 * (1 - n[..., 2:3]) * BOUNCE
    )
    out = canvas.colour * light
    half = SUN / np.linalg.norm(SUN) + np.array([0, 0, 1], np.float32)
    half /= np.linalg.norm(half)
    gloss = np.clip(n @ half, 0, 1)
    shine = np.where(kind == WOOD, 0.5 * gloss**60, 0) + np.where(kind == TABLE, 0.05 * gloss**14, 0)
    shine = shine + np.where(kind == YARN, 0.035 * gloss**6, 0) + np.where(kind == FUR, 0.05 * gloss**8, 0)
    return out + (shine * seen)[..., None] * SUN_COLOUR


def fuzz(image, canvas, count, length, strength=0.3):
    """Loose fibres standing off the yarn, most to be seen at its edges."""
    rng, s = canvas.rng, canvas.scale
    yarn = canvas.kind == YARN
    ys, xs = np.nonzero(yarn)
    if len(xs) == 0:
        return image
    edge = blur(yarn.astype(np.float32), 9 * s)[ys, xs] < 0.86
    pick = np.concatenate([
        rng.choice(len(xs), count),
        rng.choice(np.nonzero(edge)[0], count) if edge.any() else np.zeros(0, int),
    ])
    veil = Image.new("L", (canvas.w, canvas.h), 0)
    pen = ImageDraw.Draw(veil)
    heading = rng.uniform(0, 2 * np.pi, len(pick))
    bend = rng.normal(0, 0.5, len(pick))
    reach = rng.gamma(2.2, length * s / 2.2, len(pick))
    for i, at in enumerate(pick):
        x, y = float(xs[at]), float(ys[at])
        way, points = heading[i], [(x, y)]
        for _ in range(5):
            x += np.cos(way) * reach[i] / 5
            y += np.sin(way) * reach[i] / 5
            way += bend[i]
            points.append((x, y))
        pen.line(points, fill=int(90 + 120 * ((i * 7919) % 97) / 97), width=1)
    alpha = (np.asarray(veil, np.float32) / 255 * strength)[..., None]
    tone = blur(np.where(yarn[..., None], image, 0), 10 * s)
    share = blur(yarn.astype(np.float32), 10 * s)[..., None]
    tone = tone / np.maximum(share, 0.02) * 1.3
    return image * (1 - alpha) + tone * alpha


def camera(image, canvas, width, height):
    """From light to a picture: depth of field, falling-off corners, film curve, grain."""
    rng, h, w = canvas.rng, canvas.h, canvas.w
    cells = (height, h // height, width, w // width)
    small = np.clip(image, 0, 4).reshape(*cells, 3).mean((1, 3))
    table = (canvas.kind == TABLE).astype(np.float32).reshape(cells).mean((1, 3))
    ys, xs = np.mgrid[0:height, 0:width].astype(np.float32)
    r = np.hypot((xs / width - 0.5) * 1.05, (ys / height - 0.5) * 1.1)
    # The lens looks at the hat: the table under it is a little soft, more so at the sides.
    for radius, away in ((1.5, 0.45 * table), (3.0, table * np.clip(3.2 * r - 0.9, 0, 1))):
        share = np.maximum(blur(table, radius), 1e-3)[..., None]
        soft = blur(small * table[..., None], radius) / share
        small = small * (1 - away[..., None]) + soft * away[..., None]
    glow = blur(np.clip(small - 0.75, 0, None), 18)
    small = (small + 0.25 * glow) * (1.08 - 0.62 * r**2)[..., None]
    grey = small.mean(-1, keepdims=True)
    small = np.clip(grey + 0.98 * (small - grey), 0, None)
    toned = np.clip(1.16 * (1 - np.exp(-1.30 * small)), 0, 1) ** (1 / 2.05)
    toned = toned + 0.22 * (toned - 0.5) * (1 - np.abs(2 * toned - 1)) - 0.015
    grain = rng.normal(0, 1, (height, width, 1)) + 0.4 * rng.normal(0, 1, (height, width, 3))
    toned = toned + 0.010 * grain
    return Image.fromarray((np.clip(toned, 0, 1) * 255 + 0.5).astype(np.uint8))
