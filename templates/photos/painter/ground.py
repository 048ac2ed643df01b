"""What the hat lies on."""

import numpy as np

from .canvas import noise


def wood(canvas, light=(0.46, 0.30, 0.175), dark=(0.19, 0.105, 0.055), plank=330, upright=False):
    """Oiled boards: rings drawn out along the board, pores, gaps between boards."""
    rng, s = canvas.rng, canvas.scale
    shape = (canvas.h, canvas.w)
    if upright:
        shape = shape[::-1]
    h, w = shape
    boards = int(np.ceil(h / (plank * s))) + 1
    start = -rng.uniform(0.1, 0.8) * plank * s
    colour = np.zeros(shape + (3,), np.float32)
    z = np.zeros(shape, np.float32)
    for i in range(boards):
        y0, y1 = int(start + i * plank * s), int(start + (i + 1) * plank * s)
        rows = slice(max(y0, 0), min(y1, h))
        n = rows.stop - rows.start
        if n <= 0:
            continue
        ys = (np.arange(rows.start, rows.stop) - y0)[:, None] / (plank * s)
        bow = noise(rng, (n, w), (2, 2.4), 3)
        wave = noise(rng, (n, w), (5, 9), 2)
        rings = (ys - rng.uniform(-0.3, 1.3)) * rng.uniform(7, 12) + bow * 1.7 + wave * 0.22
        late = (rings % 1.0) ** 2.2
        fibre = noise(rng, (n, w), (n / (2.2 * s), w / (150 * s)), 2, 0.7)
        pores = noise(rng, (n, w), (n / (1.6 * s), w / (34 * s)), 1)
        tone = 0.42 * late + 0.42 * fibre + 0.20 * bow + rng.uniform(-0.10, 0.16)
        tone = np.clip(0.42 + 0.55 * (tone - 0.2), 0, 1)[..., None]
        board = np.asarray(light) * (1 - tone) + np.asarray(dark) * tone
        pit = np.clip(pores - 0.55, 0, 1)
        board = board * (1 - 0.55 * pit[..., None])
        colour[rows] = board
        edge = np.minimum(ys, 1 - ys) * plank
        z[rows] = (-0.55 * pit - 0.25 * late + 0.2 * fibre) * s - 5 * s * np.exp(-edge / 1.5)
        colour[rows] *= (1 - 0.55 * np.exp(-edge / 2.0))[..., None]
    if upright:
        colour, z = colour.transpose(1, 0, 2), z.T
    canvas.colour[:], canvas.z[:] = colour, z


def linen(canvas, warp=(0.63, 0.60, 0.54), weft=(0.57, 0.54, 0.49), pitch=5.0, folds=2.5):
    """Plain-woven cloth with slubs and soft folds."""
    rng, s = canvas.rng, canvas.scale
    shape = (canvas.h, canvas.w)
    ys, xs = np.mgrid[0:canvas.h, 0:canvas.w].astype(np.float32)
    sway = noise(rng, shape, (4, 4), 2) * pitch * s * 1.6
    sway2 = noise(rng, shape, (4, 4), 2) * pitch * s * 1.6
    u, v = (xs + sway) / (pitch * s), (ys + sway2) / (pitch * s)
    over = ((np.floor(u) + np.floor(v)) % 2).astype(np.float32)
    along = np.sin(np.pi * (u % 1)), np.sin(np.pi * (v % 1))
    bump = over * along[0] * (0.55 + 0.45 * along[1]) + (1 - over) * along[1] * (0.55 + 0.45 * along[0])
    slub = noise(rng, shape, (canvas.h / (pitch * s), 9), 2) * over
    slub = slub + noise(rng, shape, (9, canvas.w / (pitch * s)), 2) * (1 - over)
    mix = over[..., None]
    colour = np.asarray(warp) * mix + np.asarray(weft) * (1 - mix)
    canvas.colour[:] = colour * (0.72 + 0.28 * bump + 0.12 * slub)[..., None]
    drape = noise(rng, shape, (folds, folds), 2) * 22 * s
    canvas.z[:] = drape - drape.max() + bump * 1.3 * s + slub * 0.5 * s


def plaster(canvas, tone=(0.74, 0.72, 0.69)):
    """A matt, trowelled ground."""
    rng, s = canvas.rng, canvas.scale
    shape = (canvas.h, canvas.w)
    broad = noise(rng, shape, (3, 3), 4)
    fine = noise(rng, shape, (canvas.h / (14 * s), canvas.w / (18 * s)), 4, 0.6)
    canvas.colour[:] = np.asarray(tone) * (1 + 0.06 * broad + 0.03 * fine)[..., None]
    canvas.z[:] = (1.2 * broad + 1.5 * fine) * s
