"""A second opinion on the starter designs: girth, depth, counts and yarn of every size.

Shares no code with the program and does not read the design files: gauges, ease, wished
depths and rules were typed in again from the designs' own pages and worked out here with
plain arithmetic, round by round. Run it to write hats.csv; tests/second_opinion.rs holds
the program against that table.

    python3 tests/second_opinion/hats.py > tests/second_opinion/hats.csv

How each figure is found
  girth   the round or the rows at the brim, by the gauge: stitches x width, and for work
          that goes round by its rows, rows x height.
  depth   along the fabric from the brim to the middle of the top: the heights of all
          rounds added up; for work that goes round by its rows, stitches x width. A top
          drawn together takes nothing off: the fabric folds, it does not grow shorter.
  heights a round of the gauge's own stitch is as high as the gauge says. Others stand to
          it as 1 sc : 1.61 hdc : 2 dc. 1.61 is interweave.com's trial, 20 rows of sc
          5.75 in, of hdc 9.25 in; 2 is 16 rows of sc against 8 of dc in 4 in
          (crochetkitten.com, mangomum.net). Decreases are as high as their stitch.
  yarn    area of all rounds x the swatch's mass by area: the fabric alone, without
          foundation chain, ends and pompom.
  heads   the heads the standard sizes are graded for, in cm.
"""

import math
import sys

HEADS = {"baby-12m": 45.5, "toddler": 48.0, "child": 51.0, "adult-s": 54.0,
         "adult-m": 56.5, "adult-l": 59.0, "adult-xl": 61.5}
SC, HDC, DC = 1 / 1.61, 1.0, 2 / 1.61  # against hdc
SIX = ["toddler", "child", "adult-s", "adult-m", "adult-l", "adult-xl"]


def nearest(x, step=1, plus=0):
    """To the nearest multiple, halves up."""
    return math.floor((x - plus) / step + 0.5 + 1e-9) * step + plus


def up(x):
    return math.ceil(x - 1e-9)


def down(x):
    return math.floor(x + 1e-9)


class Gauge:
    def __init__(self, sts, rows, grams):
        self.st, self.row, self.grams = 10 / sts, 10 / rows, grams


class Hat:
    """Pieces of lines of courses; a course is (stitches, height in rounds of the gauge)."""

    def __init__(self):
        self.pieces, self.depth, self.grams, self.girth = [], 0.0, 0.0, 0.0

    def piece(self):
        self.pieces.append([])

    def line(self, gauge, courses, make=1, deep=True, wide=None):
        """`wide` is the width in stitches where it is not the count."""
        if not courses:
            return
        self.pieces[-1].append(courses[-1][0])
        for count, high in courses:
            self.grams += (wide or count) * gauge.st * high * gauge.row * gauge.grams / 100 * make
            self.depth += high * gauge.row if deep else 0.0


def causeway(size, head):
    g = Gauge(16, 9, 8.0)
    depth = dict(zip(SIX, [19, 20, 21.5, 22.5, 23.5, 24.5]))[size]
    sts = nearest(head * 0.94 / g.st, 4)
    even = nearest(depth / g.row) - 3
    hat = Hat()
    hat.piece()
    hat.line(g, [(sts, 1)])
    hat.line(g, [(sts, 1)] * (even - 1))
    hat.piece()
    hat.line(g, [(sts * 3 // 4, 1)])
    hat.line(g, [(sts // 2, 1)])
    hat.line(g, [(sts // 4, HDC / DC)])
    hat.girth = sts * g.st
    return hat, depth


def grow(hat, g, to, last):
    """A disc that grows by eight to `to` rounds, and one more round to `last` stitches."""
    hat.piece()
    hat.line(g, [(8, 1)])
    hat.line(g, [(16, 1)])
    hat.line(g, [(8 * r, 1) for r in range(3, to + 1)])
    if last > 8 * to:
        hat.line(g, [(last, 1)])
        return to + 1
    return to


def fell_gate(size, head):
    g, flap = Gauge(12, 9, 7.0), Gauge(12, 13, 8.0)
    depth = dict(zip(SIX, [18, 19, 20.5, 21.5, 22.5, 23.5]))[size]
    sts = nearest(head * 0.94 / g.st, 2)
    hat = Hat()
    grown = grow(hat, g, sts // 8, sts)
    even = nearest(depth / g.row)
    hat.piece()
    hat.line(g, [(sts, 1)] * (even - grown))
    hat.girth = sts * g.st
    wide = nearest(sts / 5, 2, 1)
    hat.piece()
    hat.line(flap, [(wide, 1)], 2, False)
    hat.line(flap, [(wide, 1)], 2, False)
    hat.line(flap, [(n, 1) for n in range(wide - 2, 1, -2)], 2, False)
    hat.line(flap, [(1, 1)], 2, False)
    # The ties are slip stitches on a chain: no fabric to weigh by area.
    if size not in ("toddler", "child"):
        hat.pieces.append([50])
    return hat, depth


def harbour_rib(size, head):
    cuff, g = Gauge(12, 11, 7.0), Gauge(11, 8, 6.2)
    sizes = ["baby-12m"] + SIX[:5]
    depth = dict(zip(sizes, [17, 18.5, 19.5, 21, 22, 23]))[size]
    wide = dict(zip(sizes, [5, 6, 7, 8, 8, 8]))[size]
    rows = nearest(head * 0.89 / cuff.row, 2)
    hat = Hat()
    hat.piece()
    hat.line(cuff, [(wide, 1)], deep=False)
    hat.line(cuff, [(wide, 1)] * (rows - 1), deep=False)
    hat.depth = wide * cuff.st
    tall = nearest((depth - wide * cuff.st) / g.row - 3 * 0.62)
    hat.piece()
    hat.line(g, [(rows, SC)])
    hat.line(g, [(rows, 1)])
    hat.line(g, [(rows, 1)] * (tall - 1))
    hat.piece()
    hat.line(g, [(rows // 2, SC)])
    hat.line(g, [(rows // 2, SC)])
    hat.girth = rows * cuff.row
    return hat, depth


def larch_walk(size, head):
    g = Gauge(17, 13, 5.6)
    depth = dict(zip(SIX, [18.5, 19.5, 21, 22, 23, 24]))[size]
    sts = nearest(head * 0.93 / g.st, 4)
    brim = 4 if size in ("toddler", "child") else 5
    wedges = down(sts / 8 - 2)
    even = nearest(depth / g.row - 0.24 * brim - wedges - 1)
    hat = Hat()
    hat.piece()
    hat.line(g, [(sts, DC)])
    hat.line(g, [(sts, DC)] * (brim - 1))
    hat.piece()
    hat.line(g, [(sts, 1)] * (even - brim))
    hat.piece()
    hat.line(g, [(sts - 8 * k, 1) for k in range(1, wedges + 1)])
    hat.line(g, [((sts - 8 * wedges) // 2, 1)])
    hat.girth = sts * g.st
    return hat, depth


def millstone(size, head):
    g, band = Gauge(16, 12.5, 5.0), Gauge(18, 20, 6.0)
    depth = dict(zip(SIX, [19, 21, 22, 23.5, 24.5, 25.2]))[size]
    sts = nearest(head * 0.93 / band.st, 2)
    plate = nearest(head * 0.24 / g.row)
    firm = 5 if size in ("toddler", "child") else 6
    least = up(sts / 8)
    part = 1 if 8 * least > sts else 0
    narrow = plate - least
    turn = nearest((depth - firm * band.row) / g.row) - plate - narrow - part
    hat = Hat()
    grow(hat, g, plate, 8 * plate)
    hat.piece()
    hat.line(g, [(8 * plate, 1)] * turn)
    hat.line(g, [(8 * (plate - k), 1) for k in range(1, narrow + 1)])
    hat.line(g, [(sts, 1)] * part)
    hat.piece()
    hat.line(band, [(sts, 1)] * firm)
    hat.girth = sts * band.st
    return hat, depth


def post_road(size, head):
    g = Gauge(15, 12, 6.4)
    depth = {"toddler": 7.5, "child": 8.0}.get(size, 9.5)
    sts = nearest(depth / g.st)
    rows = nearest(head * 0.89 / g.row, 2)
    hat = Hat()
    hat.piece()
    hat.line(g, [(sts, 1)], deep=False)
    hat.line(g, [(sts, 1)] * (rows - 1), deep=False)
    hat.girth, hat.depth = rows * g.row, sts * g.st
    return hat, depth


def signal_box(size, head):
    g = Gauge(17, 13, 5.6)
    depth = dict(zip(SIX, [18.5, 19.5, 21, 22, 23, 24]))[size]
    sts = nearest(head * 0.93 / g.st, 4)
    brim = 5 if size in ("toddler", "child") else 6
    between = nearest(depth / g.row - 0.62 * brim) - 3
    sets = down(between / 6)
    hat = Hat()
    hat.piece()
    hat.line(g, [(sts, SC)])
    hat.line(g, [(sts, SC)] * (brim - 1))
    hat.piece()
    hat.line(g, [(sts, 1)] * (between - 6 * sets))
    for _ in "BCA":
        hat.line(g, [(sts, 1)] * 2)
    hat.line(g, [(sts, 1)] * (6 * sets - 6))
    hat.piece()
    for quarters in (3, 2, 1):
        hat.line(g, [(sts * quarters // 4, 1)])
    hat.girth = sts * g.st
    return hat, depth


def tide_pool(size, head):
    g = Gauge(15, 11.5, 6.5)
    depth = dict(zip(["baby-12m"] + SIX, [16.5, 18, 19, 20.5, 21.5, 22.5, 23.5]))[size]
    sts = nearest(head * 0.94 / g.st, 2)
    hat = Hat()
    grown = grow(hat, g, sts // 8, sts)
    even = nearest(depth / g.row - 2 * 0.62)
    hat.piece()
    hat.line(g, [(sts, 1)] * (even - grown))
    hat.piece()
    hat.line(g, [(sts, SC)])
    hat.line(g, [(sts, SC)])
    hat.girth = sts * g.st
    return hat, depth


def weir_turn(size, head):
    g = Gauge(14, 18, 6.2)
    depth = dict(zip(SIX, [20, 21.5, 23, 24, 25, 26]))[size]
    sts = nearest(depth / g.st)
    far = sts - nearest(sts / 4)
    wedges = nearest((head * 0.88 / g.row - 1) / 4)
    hat = Hat()
    hat.piece()
    for n in (sts, sts, far, far, sts):
        hat.line(g, [(n, 1)], deep=False)
    hat.line(g, [(sts, 1), (far, 1), (far, 1), (sts, 1)] * (wedges - 1), deep=False)
    # Every row begins or ends at the brim; two rows in four stop before the crown.
    hat.girth, hat.depth = (4 * wedges + 1) * g.row, sts * g.st
    return hat, depth


DESIGNS = [
    ("causeway", causeway, SIX), ("fell-gate", fell_gate, SIX),
    ("harbour-rib", harbour_rib, ["baby-12m"] + SIX[:5]), ("larch-walk", larch_walk, SIX),
    ("millstone", millstone, SIX), ("post-road", post_road, SIX),
    ("signal-box", signal_box, SIX), ("tide-pool", tide_pool, ["baby-12m"] + SIX),
    ("weir-turn", weir_turn, SIX),
]


def main():
    out = sys.stdout.write
    out("# Written by hats.py beside this file, which says how each figure is found.\n")
    out("design,size,wished_depth_mm,girth_mm,depth_mm,fabric_g,counts\n")
    for name, design, sizes in DESIGNS:
        for size in sizes:
            hat, depth = design(size, HEADS[size])
            counts = " | ".join(" ".join(str(n) for n in piece) for piece in hat.pieces)
            out(f"{name},{size},{depth * 10:.1f},{hat.girth * 10:.2f},{hat.depth * 10:.2f},"
                f"{hat.grams:.1f},{counts}\n")


main()
