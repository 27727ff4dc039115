"""Looks at the PDF papers of an exam with other people's readers.

    check_exam.py FOLDER

For every paper and key in FOLDER: the text that pdftotext finds holds the data of every item,
papers tell no answer and keys do, pages have ink and none at their edges (pdftoppm); the package
for learning platforms opens and every file in it is XML. Needs poppler's tools, nothing else.
"""

import json
import re
import subprocess
import sys
import xml.etree.ElementTree as ElementTree
import zipfile
from pathlib import Path

DPI = 40
# Points of a page that are not white at this resolution: a line of small print at least; and a
# margin in mm that stays white.
LEAST_INK = 40
MARGIN = 6


def fail(message):
    sys.exit(f"check_exam: {message}")


def text_of(pdf):
    return subprocess.run(
        ["pdftotext", "-layout", pdf, "-"], check=True, capture_output=True, text=True
    ).stdout


def pages_of(pdf):
    """Width, height and grey bytes of every page."""
    data = subprocess.run(
        ["pdftoppm", "-gray", "-r", str(DPI), pdf], check=True, capture_output=True
    ).stdout
    pages = []
    while data:
        head = re.match(rb"P5\s+(\d+)\s+(\d+)\s+255\s", data)
        width, height = int(head[1]), int(head[2])
        start = head.end()
        pages.append((width, height, data[start : start + width * height]))
        data = data[start + width * height :]
    return pages


def check_pages(pdf):
    pages = pages_of(pdf)
    if not pages:
        fail(f"{pdf} has no page")
    edge = int(MARGIN / 25.4 * DPI)
    for number, (width, height, grey) in enumerate(pages, 1):
        dark = [i for i, level in enumerate(grey) if level < 230]
        if len(dark) < LEAST_INK:
            fail(f"{pdf}, page {number}: {len(dark)} dark points, nearly empty")
        for i in dark:
            x, y = i % width, i // width
            if not (edge <= x < width - edge and edge <= y < height - edge):
                fail(f"{pdf}, page {number}: ink at the edge ({x}, {y})")
    return len(pages)


def numbers_of(item):
    """Numbers that a solver must be told."""
    facts = dict(item["facts"])
    if item["kind"] == "find-teeth":
        return [facts[name] for name in ("least-sun", "least-planet", "most-ring")]
    teeth = re.findall(r"(?:sun|ring) = (\d+)", item["layout"])
    given = [facts[name] for name in ("input-rpm", "input-torque") if name in facts]
    return teeth + given


def main(folder):
    exam = json.loads((folder / "items.json").read_text())
    pages = 0
    for paper in exam["papers"]:
        for kind in ("paper", "key"):
            pdf = folder / f"{kind}-{paper['name']}.pdf"
            text = text_of(pdf)
            words = set(re.findall(r"\d+(?:\.\d+)?", text))
            for item in paper["items"]:
                missing = [number for number in numbers_of(item) if number not in words]
                if missing:
                    fail(f"{pdf}: {item['id']} lacks {missing}")
            for index in range(len(paper["items"])):
                if f"Problem {index + 1}" not in text:
                    fail(f"{pdf}: no problem {index + 1}")
            if ("Right" in text) != (kind == "key"):
                fail(f"{pdf}: answers where they should not be, or none where they should")
            pages += check_pages(pdf)
    with zipfile.ZipFile(folder / "qti.zip") as package:
        if package.testzip() or package.namelist()[0] != "imsmanifest.xml":
            fail("qti.zip is broken")
        for name in package.namelist():
            ElementTree.fromstring(package.read(name))
    print(f"   {folder.name}: {len(exam['papers'])} papers and keys, {pages} pages read")


if __name__ == "__main__":
    main(Path(sys.argv[1]))
