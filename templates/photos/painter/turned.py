"""A shape of revolution that lies on the table with its axis leaning: a cap seen from
above, a beret, a ring."""

import numpy as np


class Turned:
    """Fabric place (u, v): u from -1 to 1 once round, 0 nearest the viewer; v is the way
    along the outline from the middle of the crown, 1 being `radius`.

    `outline` holds places (r, h, forward): how far from the axis, how high, and how far
    the ring at that height has slid towards the viewer. `lean` in degrees: 0 looks down
    the axis. `flat` presses the relief so that shadows stay short. `inner` shows the
    fabric's other side, for the far wall of a ring.
    """

    def __init__(self, canvas, centre, radius, outline, lean, tilt=0.0, flat=0.3, base=70.0,
                 inner=False, broad=1.0, deep=1.0, waver=None):
        self.canvas, self.centre, self.radius = canvas, centre, radius
        self.lean, self.tilt = np.radians(lean), np.radians(tilt)
        self.flat, self.base, self.side = flat, base, -1 if inner else 1
        self.broad, self.deep, self.waver = broad, deep, waver
        self.places = smooth(np.asarray(outline, float))
        step = np.hypot(np.diff(self.places[:, 0]), np.diff(self.places[:, 1]))
        self.along = np.concatenate([[0], np.cumsum(step)])
        self.length = float(self.along[-1])

    def outline(self, v):
        """Distance from the axis at v."""
        return float(np.interp(v, self.along, self.places[:, 0]))

    def _profile(self, v):
        return np.array([np.interp(v, self.along, self.places[:, i]) for i in range(3)])

    def at(self, u, v, lift=0.0, swell=0.0):
        """Picture place (x, y, z); `lift` stands off the fabric along its normal."""
        r, h, forward = self._profile(v)
        ahead = self._profile(min(v + 0.02, self.length)) - self._profile(max(v - 0.02, 0.0))
        out, up = -ahead[1], ahead[0]
        size = max(np.hypot(out, up), 1e-6)
        out, up = self.side * out / size, self.side * up / size
        turn = np.pi * u
        wave = self.waver(u, v) if self.waver else 0.0
        big = self.radius * (1 + wave)
        x = (r * big + swell) * np.sin(turn) * self.broad + lift * out * np.sin(turn)
        y = (r * big + swell) * np.cos(turn) * self.deep + forward * big + lift * out * np.cos(turn)
        hh = h * self.radius
        c, s = np.cos(self.lean), np.sin(self.lean)
        px, py = x, y * c - (hh + lift * up) * s
        facing = out * np.cos(turn) * s + up * c
        z = self.base + self.flat * (y * s + hh * c) + lift * max(facing, 0.25)
        a, b = np.cos(self.tilt), np.sin(self.tilt)
        return (self.centre[0] + px * a - py * b, self.centre[1] + px * b + py * a, max(z, 1.0))

    def facing(self, u, v):
        """How squarely the fabric there looks at the viewer: 1 full, below 0 turned away."""
        ahead = self._profile(min(v + 0.02, self.length)) - self._profile(max(v - 0.02, 0.0))
        size = max(np.hypot(ahead[0], ahead[1]), 1e-6)
        out, up = self.side * -ahead[1] / size, self.side * ahead[0] / size
        return out * np.cos(np.pi * u) * np.sin(self.lean) + up * np.cos(self.lean)

    def narrow(self, u):
        return 1.0

    def fine(self, u, v):
        """Yarn looks thinner where the fabric turns away."""
        return 0.74 + 0.26 * min(max(self.facing(u, v) * 1.3, 0.0), 1.0)

    def lining(self, colour, v0=0.0, v1=None, lift=-10.0, u0=-1.0, u1=1.0):
        """Fills the fabric's body so that no table shows between stitches."""
        v1 = self.length if v1 is None else v1
        count = max(6, int((v1 - v0) * self.radius / 14))
        r = (v1 - v0) * self.radius / count * 1.1
        for v in np.linspace(v0, v1, count):
            ring = [self.at(u, v, lift - r) for u in np.linspace(u0, u1, 61)]
            self.canvas.strand(ring, r, colour, twist=0.0)


def smooth(places, times=3):
    """Rounds the corners of an outline."""
    for _ in range(times):
        q = 0.75 * places[:-1] + 0.25 * places[1:]
        r = 0.25 * places[:-1] + 0.75 * places[1:]
        middle = np.stack([q, r], 1).reshape(-1, places.shape[1])
        places = np.concatenate([places[:1], middle, places[-1:]])
    return places
