#!/usr/bin/env python3
"""Times a whole run against a general typesetter that sets the same booklet.

    against_typst.py [DESIGN.toml [RUNS]]

The typesetter is `typst`, where it is on the path. It is given what the booklet's own web
page says - words, tables, lists, drawings and the photo - in the same faces on A4, and
makes PDF/UA-1 of it; it need not read, grade or prove a design. The two run in turn, and
medians of processor time, time by the clock and memory are printed with their ratios.
"""

import html.parser
import os
import pathlib
import re
import shutil
import statistics
import subprocess
import sys
import tempfile
import time
from base64 import b64decode

ROOT = pathlib.Path(__file__).resolve().parent.parent
VOID = {"img", "br", "meta", "link", "drawn"}

PREAMBLE = """
#set document(title: {title})
#set page("a4", margin: (x: 23mm, y: 24mm), numbering: "1", header: align(right, {title}))
#set text(font: "Source Sans 3", size: 10.5pt, lang: "en")
#set par(justify: false, leading: 0.6em)
#show heading: set text(font: "Source Serif 4", weight: "semibold")
#show figure: set block(breakable: true)
#set outline.entry(fill: none)
#set table(stroke: (y: 0.25pt), inset: (x: 4pt, y: 3pt))
"""


class Tree(html.parser.HTMLParser):
    """Elements as (name, attributes, inner), words as strings."""

    def __init__(self, text):
        super().__init__()
        self.open = [("body", {}, [])]
        self.feed(text)

    def handle_starttag(self, tag, attributes):
        element = (tag, dict(attributes), [])
        self.open[-1][2].append(element)
        if tag not in VOID:
            self.open.append(element)

    def handle_endtag(self, tag):
        if tag not in VOID and len(self.open) > 1:
            self.open.pop()

    def handle_data(self, data):
        if data.strip():
            self.open[-1][2].append(re.sub(r"\s+", " ", data))


def quoted(words):
    return '"' + words.replace("\\", "\\\\").replace('"', '\\"') + '"'


def find(element, *names):
    """Every element of these names below, not those inside of one found."""
    for inner in element[2]:
        if isinstance(inner, tuple):
            if inner[0] in names:
                yield inner
            else:
                yield from find(inner, *names)


def inside(element):
    return "".join(said(inner) for inner in element[2])


def table(element):
    def cells(part):
        rows = [list(find(row, "th", "td")) for row in find(part, "tr")]
        return rows, ", ".join(spanned(cell) for row in rows for cell in row)

    def spanned(cell):
        span = cell[1].get("colspan")
        return f"table.cell(colspan: {span})[{inside(cell)}]" if span else f"[{inside(cell)}]"

    heads = [cells(part) for part in find(element, "thead")]
    rows, body = zip(*(cells(part) for part in find(element, "tbody")))
    width = max(sum(int(c[1].get("colspan", 1)) for c in row) for part in rows for row in part)
    head = "".join(f"table.header({said}), " for _, said in heads)
    made = f"table(columns: {width}, {head}{', '.join(body)})"
    captions = [inside(caption) for caption in find(element, "caption")]
    return f"\n#figure({made}, caption: [{captions[0]}])\n" if captions else f"\n#{made}\n"


def figure(element):
    drawn = "".join(said(e) for e in element[2] if e[0] != "figcaption")
    captions = [inside(caption) for caption in find(element, "figcaption")]
    return drawn + (f"\n{captions[0]}\n" if captions else "")


def said(node):
    """A node in the typesetter's own language."""
    if isinstance(node, str):
        return f"#{quoted(node)}"
    name, attributes, _ = node
    if name in ("h1", "h2", "h3", "h4"):
        return f"\n#heading(level: {name[1]})[{inside(node)}]\n"
    if name == "p":
        words = inside(node)
        small = "small" in attributes.get("class", "")
        return f"\n#text(size: 9pt)[{words}]\n\n" if small else f"\n{words}\n\n"
    if name in ("strong", "em"):
        return f"#{'emph' if name == 'em' else name}[{inside(node)}]"
    if name in ("ul", "ol"):
        items = ", ".join(f"[{inside(item)}]" for item in find(node, "li"))
        return f"\n#{'list' if name == 'ul' else 'enum'}({items})\n"
    if name == "dl":
        pairs = zip(find(node, "dt"), find(node, "dd"))
        items = ", ".join(f"terms.item([{inside(a)}], [{inside(b)}])" for a, b in pairs)
        return f"\n#terms({items})\n"
    if name == "nav":
        return "\n#pagebreak()\n#outline()\n"
    if name == "a" and attributes.get("href", "").startswith("http"):
        return f"#link({quoted(attributes['href'])})[{inside(node)}]"
    if name == "br":
        return "#linebreak()"
    if name == "table":
        return table(node)
    if name == "figure":
        return figure(node)
    if name in ("img", "drawn"):
        wide = f", width: {attributes['width']}" if "width" in attributes else ""
        return f"\n#image({quoted(attributes['src'])}, alt: {quoted(attributes['alt'])}{wide})\n"
    return inside(node)


def written(page, folder):
    """The web page in the typesetter's language, its pictures put into the folder."""
    body = page[page.index("<main>") : page.index("</main>")]

    def drawn(match):
        svg = match[0]
        name = f"drawing-{match.start()}.svg"
        (folder / name).write_text(svg)
        alt = re.search(r"<title>(.*?)</title>", svg, re.S)
        width = re.search(r'width="([\d.]+mm)"', svg)
        return f'<drawn src="{name}" alt="{alt[1] if alt else "A drawing"}" width="{width[1]}">'

    def photo(match):
        (folder / "photo.jpg").write_bytes(b64decode(match[1]))
        return 'src="photo.jpg"'

    body = re.sub(r"<svg.*?</svg>", drawn, body, flags=re.S)
    body = re.sub(r'src="data:image/jpeg;base64,([^"]*)"', photo, body)
    tree = Tree(body).open[0]
    title = next(find(tree, "h1"))[2][0]
    return PREAMBLE.replace("{title}", quoted(title)) + inside(tree)


def once(command):
    """Processor seconds, seconds by the clock and mebibytes of one run."""
    began = time.perf_counter()
    quiet = [(os.POSIX_SPAWN_OPEN, n, os.devnull, os.O_WRONLY, 0) for n in (1, 2)]
    pid = os.posix_spawnp(command[0], command, os.environ, file_actions=quiet)
    _, status, used = os.wait4(pid, 0)
    if status:
        sys.exit(f"{' '.join(command)} failed")
    clock = time.perf_counter() - began
    return used.ru_utime + used.ru_stime, clock, used.ru_maxrss / 1024


def main():
    design = sys.argv[1] if len(sys.argv) > 1 else ROOT / "templates/harbour-rib.toml"
    runs = int(sys.argv[2]) if len(sys.argv) > 2 else 20
    if not shutil.which("typst"):
        sys.exit("typst is not on the path: nothing to time against")
    ours = os.environ.get("BRIMWRIGHT", str(ROOT / "target/release/brimwright"))
    with tempfile.TemporaryDirectory() as made:
        folder = pathlib.Path(made)
        publish = [ours, "publish", str(design), "--quiet", "--out", made]
        subprocess.run([*publish, "--format", "html"], check=True)
        (page,) = folder.glob("*.html")
        source = folder / "booklet.typ"
        source.write_text(written(page.read_text(), folder))
        typst = ["typst", "compile", "--pdf-standard", "ua-1", "--ignore-system-fonts"]
        theirs = [*typst, "--font-path", str(ROOT / "fonts"), str(source), f"{made}/typst.pdf"]
        publish += ["--paper", "a4"]
        subprocess.run(theirs, check=True)
        pairs = [(once(publish), once(theirs)) for _ in range(runs + 1)][1:]
        if os.environ.get("KEEP"):
            subprocess.run(["cp", "-r", made, os.environ["KEEP"]], check=True)
    print(f"{runs} runs each, medians      ours    typst    ratio")
    for i, what in enumerate(("processor, ms", "by the clock, ms", "memory, MiB")):
        scale = 1 if i == 2 else 1000
        a, b = (statistics.median(pair[side][i] for pair in pairs) * scale for side in (0, 1))
        ratio = statistics.median(x[i] / y[i] for x, y in pairs)
        print(f"{what:22} {a:10.1f} {b:8.1f} {ratio:8.2f}")


if __name__ == "__main__":
    main()
