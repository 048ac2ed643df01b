"""Writes statistics.json: what Python's own `statistics` says of seeded samples.

Run from this folder: python3 reference.py > statistics.json
The expected values come from the standard library only: statistics.median,
statistics.NormalDist, fractions.Fraction and math.comb.
"""

import json
import random
from fractions import Fraction
from math import comb
from statistics import NormalDist, median

SCALE = 1 / NormalDist().inv_cdf(0.75)


def coverage(n, k):
    return 1 - 2 * sum(Fraction(comb(n, i), 2**n) for i in range(k))


def interval(values):
    s = sorted(values)
    n = len(s)
    ks = [k for k in range(1, n // 2 + 1) if coverage(n, k) >= Fraction(19, 20)]
    k = max(ks, default=1)
    return [s[k - 1], s[n - k], float(coverage(n, k))]


def case(values):
    m = median(values)
    mad = median(abs(v - m) for v in values)
    scores = [NormalDist().inv_cdf(0.75) * (v - m) / mad if mad else None for v in values]
    return {
        "values": values,
        "median": m,
        "mad": mad,
        "spread": mad * SCALE,
        "interval": interval(values),
        "scores": scores,
    }


random.seed(20261005)
samples = [[14.0], [13.5, 14.5], [13.5, 14, 14.5], [14, 14, 14, 18], [16, 16.5, 15.5, 16, 25]]
for n in (3, 5, 6, 7, 8, 9, 12, 20, 51, 100):
    for _ in range(4):
        samples.append([round(random.gauss(14, 0.7), 2) for _ in range(n)])
print(json.dumps({"mad_to_sigma": SCALE, "cases": [case(v) for v in samples]}, indent=0))
