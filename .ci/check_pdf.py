#!/usr/bin/env python3
"""Checks PDFs with tools that share no code with the program.

    check_pdf.py FILE.pdf...

For each file: the rule sets of PDF/UA-1 and PDF/A-2a (PyPI `page-validation`), the syntax
(`qpdf --check`), that every font is embedded and readable as words (`pdffonts`), that
poppler, pdf.js and mutool read the same words in the same order on every page and mutool
draws it without a warning, and, if the environment variable UA_CHECK names a further
checker, that one too. pdf.js (npm `pdfjs-dist`) is looked for in the folder that the
environment variable PDFJS names, or in target/ci-js. `--widths` also
compares the widths of words with what poppler measures (`pdftotext -bbox` against the
advances in the embedded fonts; needs pikepdf and fonttools).

Prints one line a file and the failures under it. Exit code: 0 all good, 1 a failure, 2 a
tool is missing or nothing was given. A missing tool is never passed over in silence.
"""

import json
import os
import shutil
import subprocess
import sys


PDFJS = os.path.abspath(os.environ.get("PDFJS", "target/ci-js"))


def run(*command):
    done = subprocess.run(command, capture_output=True, text=True)
    return done.returncode, (done.stdout + done.stderr).strip()


def profiles(path):
    import page

    for profile in (page.ValidationProfile.PDF_UA_1, page.ValidationProfile.PDF_A_2A):
        report = page.validate_pdf(path, profile=profile)
        if not report.is_compliant:
            for failure in report.failures:
                yield f"{report.profile}: {failure}"


def syntax(path):
    code, said = run("qpdf", "--check", path)
    if code != 0 or "No syntax or stream encoding errors" not in said:
        yield f"qpdf: {said.splitlines()[-1] if said else code}"


def fonts(path):
    code, said = run("pdffonts", path)
    lines = said.splitlines()
    if code != 0 or len(lines) < 3:
        yield "pdffonts: no fonts found"
        return
    # The columns after the encoding: embedded, subset, Unicode.
    for line in lines[2:]:
        flags = [word for word in line.split() if word in ("yes", "no")]
        if flags[:3] != ["yes", "yes", "yes"]:
            yield f"pdffonts: {line}"


# Said by builds of mutool that leave colour management out: about the tool, not the file.
MUTOOL_ITSELF = "warning: ICC support is not available"


def readers(path):
    """Words page by page, spaces and line ends evened out, by three readers."""
    code, said = run("pdftotext", "-raw", "-enc", "UTF-8", path, "-")
    poppler = said.split("\f")
    if code != 0:
        yield f"pdftotext: {said}"
        return
    done = subprocess.run(("mutool", "draw", "-q", "-F", "text", path), capture_output=True, text=True)
    drawn = subprocess.run(
        ("mutool", "draw", "-q", "-r", "20", "-F", "pnm", "-o", os.devnull, path),
        capture_output=True,
        text=True,
    )
    for line in (done.stderr + drawn.stderr).splitlines():
        if line.strip() and line.strip() != MUTOOL_ITSELF:
            yield f"mutool: {line}"
    script = os.path.join(os.path.dirname(os.path.abspath(__file__)), "words.mjs")
    node = subprocess.run(("node", script, PDFJS, path), capture_output=True, text=True)
    if done.returncode or drawn.returncode or node.returncode:
        yield f"mutool: {done.returncode}, {drawn.returncode}; pdf.js: {node.stderr.strip()}"
        return
    pdfjs = json.loads(node.stdout)
    for name, pages in (("mutool", done.stdout.split("\f")), ("pdf.js", pdfjs)):
        for number in range(max(len(pdfjs), len(poppler) - 1)):
            here, there = (
                side[number].split() if number < len(side) else [] for side in (pages, poppler)
            )
            if here != there:
                at = next((i for i, (a, b) in enumerate(zip(here, there)) if a != b), -1)
                at = at if at >= 0 else min(len(here), len(there))
                near = slice(max(at - 2, 0), at + 3)
                yield (
                    f"{name} and poppler read page {number + 1} differently: "
                    f"{' '.join(here[near])!r} and {' '.join(there[near])!r}"
                )
    if not any(page.split() for page in poppler):
        yield "readers: no words on any page"


def further(path):
    checker = os.environ.get("UA_CHECK")
    if checker:
        code, said = run(sys.executable, checker, path)
        if code != 0:
            yield f"{os.path.basename(checker)}: {said}"


def widths(path):
    """Every line's width by the fonts' own advances must be what poppler draws it in."""
    import re
    from io import BytesIO

    import pikepdf
    from fontTools.ttLib import TTFont

    compared, worst = 0, 0.0
    with pikepdf.open(path) as pdf:
        for number, sheet in enumerate(pdf.pages, 1):
            # By font: bytes of a code, and the advance of each code.
            long, advances = {}, {}
            for key, font in sheet.Resources.Font.items():
                composite = font.Subtype == "/Type0"
                below = font.DescendantFonts[0] if composite else font
                program = TTFont(BytesIO(below.FontDescriptor.FontFile2.read_bytes()))
                metrics, units = program["hmtx"].metrics, program["head"].unitsPerEm
                if composite:
                    glyphs = dict(enumerate(program.getGlyphOrder()))
                else:
                    symbols = program["cmap"].getcmap(3, 0).cmap
                    glyphs = {code - 0xF000: name for code, name in symbols.items()}
                long[key] = 2 if composite else 1
                advances[key] = {code: metrics[name][0] / units for code, name in glyphs.items()}
            drawn = {}
            font, size, at = None, 0.0, (0.0, 0.0)
            height = float(sheet.MediaBox[3])
            for operands, operator in pikepdf.parse_content_stream(sheet):
                name = str(operator)
                if name == "Tf":
                    font, size = str(operands[0]), float(operands[1])
                elif name == "BT":
                    at = (0.0, 0.0)
                elif name == "Td" and at is not None:
                    at = (at[0] + float(operands[0]), at[1] + float(operands[1]))
                elif name == "Tm":
                    upright = [float(o) for o in operands[:4]] == [1, 0, 0, 1]
                    at = (float(operands[4]), float(operands[5])) if upright else None
                elif name == "TJ" and at is not None:
                    x = at[0]
                    glyph = 0
                    for part in operands[0]:
                        if isinstance(part, pikepdf.String):
                            codes = bytes(part)
                            for i in range(0, len(codes), long[font]):
                                glyph = int.from_bytes(codes[i : i + long[font]], "big")
                                x += advances[font][glyph] * size
                        else:
                            x -= float(part) / 1000 * size
                    last = advances[font][glyph] * size
                    drawn.setdefault(round(height - at[1], 1), []).append((at[0], x, last))
            code, said = run("pdftotext", "-bbox", "-f", str(number), "-l", str(number), path, "-")
            boxes = re.findall(r'xMin="([\d.]+)" yMin="([\d.]+)" xMax="([\d.]+)" yMax="([\d.]+)">(.*?)<', said)
            if code != 0:
                yield f"pdftotext: {said}"
                return
            for baseline, runs in drawn.items():
                line = [(float(a), float(c)) for a, b, c, d, _ in boxes if float(b) < baseline < float(d)]
                joined = []
                for part in sorted(runs):
                    # A word may change its face midway: runs that touch are one.
                    if joined and part[0] - joined[-1][1] < 0.3:
                        part = (joined.pop()[0], part[1], part[2])
                    joined.append(part)
                for left, right, last in joined:
                    words = [w for w in line if w[0] >= left - 0.3 and w[1] <= right + 0.3]
                    if not words or abs(min(w[0] for w in words) - left) > 0.3:
                        continue
                    end = max(w[1] for w in words)
                    # A closing space is drawn but is no part of a word.
                    gap = min(abs(right - end), abs(right - last - end))
                    compared += 1
                    worst = max(worst, gap)
    if compared == 0:
        yield "widths: nothing could be compared"
    if worst > 0.1:
        yield f"widths: {worst:.3f} pt apart, 0.1 is the most"
    print(f"  widths: {compared} runs of words, at most {worst:.3f} pt apart")


def main():
    files = [a for a in sys.argv[1:] if not a.startswith("-")]
    checks = [profiles, syntax, fonts, readers, further]
    if "--widths" in sys.argv:
        checks.append(widths)
    tools = ("qpdf", "pdffonts", "pdftotext", "mutool", "node")
    missing = [tool for tool in tools if not shutil.which(tool)]
    if not os.path.isdir(os.path.join(PDFJS, "node_modules", "pdfjs-dist")):
        missing.append(f"pdfjs-dist in {PDFJS}")
    try:
        import page  # noqa: F401
    except ImportError:
        missing.append("page-validation")
    if missing or not files:
        print(f"missing: {', '.join(missing) or 'files to check'}", file=sys.stderr)
        return 2
    failed = False
    for path in files:
        found = []
        for check in checks:
            try:
                found.extend(check(path))
            except Exception as why:  # a tool that breaks down is a failure, not a pass
                found.append(f"{check.__name__}: {type(why).__name__}: {why}")
        print(f"{'FAIL' if found else 'ok'} {path}")
        for line in found:
            print(f"  {line}")
        failed = failed or bool(found)
    return 1 if failed else 0


if __name__ == "__main__":
    sys.exit(main())
