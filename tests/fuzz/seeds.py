#!/usr/bin/env python3
"""Writes the seeds of the fuzz targets: `seeds.py FOLDER` makes FOLDER/<target>/*.

Written texts come from the phrasebook and from the shipped designs, whole and line by line;
design files are the templates and those of the tests; cards are made here, one for each
shipped design and size, filled in plausibly and not.
"""

import hashlib
import json
import pathlib
import re
import sys

HERE = pathlib.Path(__file__).resolve().parent
ROOT = HERE.parent.parent

# The first byte of a written text says what is told beside it (`Told::by` in checks.rs).
METHODS = {"rows": 1, "joined rounds": 2, "spiral": 3}


def first_byte(terms, worked):
    terms = {"US": 1, "UK": 2}.get(terms, 0)
    method = METHODS.get(worked, 0)
    return next(b for b in range(ord("0"), ord("0") + 12) if b % 3 == terms and b // 3 % 4 == method)


def texts():
    for name in ("public.jsonl", "own.jsonl"):
        for line in (ROOT / "tests/phrasebook" / name).read_text().splitlines():
            case = json.loads(line)
            head = first_byte(case.get("terms"), case.get("worked"))
            yield bytes([head]) + "\n".join(case["lines"]).encode()
    for block in (ROOT / "tests/written/forms.txt").read_text().split("\n\n"):
        yield b"0" + block.encode()
    for path in designs():
        for text in re.findall(r'"""\n?(.*?)"""', path.read_text(), re.S):
            if re.search(r"\b(?:Rnd|Row)", text):
                # Graded numbers are put in, so that the text is worked and not only read.
                yield b"0" + re.sub(r"\{[^{}]*\}", "12", text).encode()


def designs():
    for folder in ("templates", "tests/designs", "tests/correction", "tests/golden/design"):
        yield from sorted((ROOT / folder).glob("*.toml"))


CARD = """card = 1
tester = "{tester}"
title = "{title}"
edition = "{edition}"
size = "{size}"
date = 2026-10-20
hours = {hours}
notes = "The crown came out a little wide."
[gauge.body]
before = {{ sts = {sts}, rows = {rows} }}
after = {{ sts = {rows}.5, rows = {sts} }}
[finished]
girth = "{girth}"
depth = "8 in"
[yarn.main]
before = "100 g"
after = "{after} g"
[[unclear]]
line = 3
words = "Which stitch is the first one?"
"""


def cards():
    for i, path in enumerate(sorted((ROOT / "templates").glob("*.toml"))):
        text = path.read_text()
        title = re.search(r'^title = "(.*)"', text, re.M).group(1)
        edition = re.search(r'^edition = "(.*)"', text, re.M).group(1)
        for k, size in enumerate(("adult-m", "child", "toddler", "nowhere")):
            yield CARD.format(
                tester="Wren", title=title, edition=edition, size=size, hours=2 + k,
                sts=14 + i, rows=9 + k, girth=f"{48 + k}.5 cm", after=20 + 30 * k,
            ).encode()


def write(folder, seeds):
    folder.mkdir(parents=True, exist_ok=True)
    for seed in seeds:
        (folder / hashlib.sha256(seed).hexdigest()[:16]).write_bytes(seed)


def main():
    out = pathlib.Path(sys.argv[1])
    written = list(texts())
    for target in ("reader", "worker", "said"):
        write(out / target, written)
    write(out / "design", (p.read_bytes() for p in designs()))
    write(out / "card", cards())


if __name__ == "__main__":
    main()
