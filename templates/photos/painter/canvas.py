"""The canvas: a height, a colour and a kind of material for every point.

Units are pixels of the finished picture; the canvas itself is `scale` times finer.
"""

import numpy as np
from PIL import Image

TABLE, YARN, FUR, WOOD = 0, 1, 2, 3


def noise(rng, shape, cells, octaves=4, fade=0.5):
    """Smooth noise from -1 to 1; `cells` is how many lumps stand (down, across)."""
    total, weight, strength = np.zeros(shape, np.float32), 0.0, 1.0
    for octave in range(octaves):
        n = [max(2, int(c * 2**octave) + 1) for c in cells]
        lumps = Image.fromarray(rng.uniform(-1, 1, n).astype(np.float32))
        total += strength * np.asarray(lumps.resize(shape[::-1], Image.Resampling.BICUBIC))
        weight += strength
        strength *= fade
    return total / weight


class Canvas:
    def __init__(self, width, height, scale, rng):
        self.scale, self.rng = scale, rng
        self.w, self.h = int(width * scale), int(height * scale)
        shape = (self.h, self.w)
        self.z = np.zeros(shape, np.float32)
        self.colour = np.zeros(shape + (3,), np.float32)
        self.kind = np.zeros(shape, np.uint8)
        self.fleck = noise(rng, shape, (self.h / (4 * scale), self.w / (4 * scale)), 2)
        self.blend = noise(rng, shape, (self.h / (7 * scale), self.w / (3 * scale)), 2)
        self.tint = np.zeros(3, np.float32)

    def strand(self, points, radius, colour, kind=YARN, twist=1.0, phase=0.0, mottle=0.1):
        """A length of yarn along points (x, y, z); its plies wind round it."""
        points = np.asarray(points, np.float32) * self.scale
        radius = radius * self.scale
        along = phase
        for a, b in zip(points[:-1], points[1:]):
            self._piece(a, b, radius, colour, kind, twist, along, mottle)
            along += float(np.hypot(*(b - a)[:2])) / radius

    def _piece(self, a, b, r, colour, kind, twist, along, mottle):
        x0 = max(int(min(a[0], b[0]) - r) - 1, 0)
        x1 = min(int(max(a[0], b[0]) + r) + 2, self.w)
        y0 = max(int(min(a[1], b[1]) - r) - 1, 0)
        y1 = min(int(max(a[1], b[1]) + r) + 2, self.h)
        if x0 >= x1 or y0 >= y1:
            return
        ys = np.arange(y0, y1, dtype=np.float32)[:, None] - a[1]
        xs = np.arange(x0, x1, dtype=np.float32)[None, :] - a[0]
        dx, dy = b[0] - a[0], b[1] - a[1]
        length = max(float(np.hypot(dx, dy)), 1e-3)
        t = np.clip((xs * dx + ys * dy) / length**2, 0, 1)
        across = (xs * dy - ys * dx) / length / r
        far = ((xs - t * dx) ** 2 + (ys - t * dy) ** 2) / (r * r)
        inside = far < 1.0
        cap = np.sqrt(np.maximum(1 - far, 0))
        turn = np.arcsin(np.clip(across, -1, 1)) * 0.9 + (along + t * length / r) * 1.25
        ply = np.abs(np.sin(turn * 1.5)) * twist
        z = a[2] + t * (b[2] - a[2]) + r * (cap * 0.92 + 0.16 * ply * cap)
        window = (slice(y0, y1), slice(x0, x1))
        seen = inside & (z > self.z[window])
        if not seen.any():
            return
        shade = 0.80 + 0.2 * ply + mottle * self.fleck[window]
        self.z[window][seen] = z[seen]
        self.kind[window][seen] = kind
        paint = np.asarray(colour, np.float32) * shade[..., None]
        if kind == YARN:
            paint = paint * (1 + self.tint * self.blend[window][..., None])
        self.colour[window][seen] = paint[seen]


def blur(image, radius):
    """Three box blurs: near enough to a Gaussian of this radius."""
    out = image.astype(np.float32)
    size = max(1, int(radius * 1.15))
    for _ in range(3):
        for axis in (0, 1):
            out = _box(out, size, axis)
    return out


def _box(image, size, axis):
    pad = [(0, 0)] * image.ndim
    pad[axis] = (size + 1, size)
    total = np.cumsum(np.pad(image, pad, mode="edge"), axis=axis, dtype=np.float64)
    n = image.shape[axis]
    hi = np.take(total, range(2 * size + 1, 2 * size + 1 + n), axis=axis)
    lo = np.take(total, range(0, n), axis=axis)
    return ((hi - lo) / (2 * size + 1)).astype(np.float32)
