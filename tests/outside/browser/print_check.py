#!/usr/bin/env python3
"""Reads worksheets that Chromium printed, by pdfinfo and pdftotext (poppler): each step and firing on one page.

    print_check.py PLANFOLDER FOLDER_OF_PDFS
"""
import json
import pathlib
import re
import subprocess
import sys

PAPERS = {"A4": (595, 842), "Letter": (612, 792)}  # points: ISO 216, ANSI Y14.1


def said(*command):
    return subprocess.run(command, check=True, capture_output=True, text=True).stdout


def pages_of(pdf):
    return said("pdftotext", "-layout", str(pdf), "-").split("\f")[:-1]


def main():
    folder, faults = pathlib.Path(sys.argv[1]), []
    plan = json.loads((folder / "plan.json").read_text(encoding="utf-8"))
    steps = len(plan["layers"])
    wished = {f"step {i} of {steps}, firing {layer['firing']}" for i, layer in enumerate(plan["layers"], 1)}
    wished |= {f"firing {f['index']} of {len(plan['firings'])}" for f in plan["firings"]}
    pdfs = sorted(pathlib.Path(sys.argv[2]).glob("*.pdf"))
    if len(pdfs) != 4:
        faults.append(f"{len(pdfs)} printed files")
    for pdf in pdfs:
        paper = PAPERS[pdf.stem.split("-")[1]]
        size = re.search(r"Page size:\s+([\d.]+) x ([\d.]+)", said("pdfinfo", str(pdf)))
        if any(abs(float(size[i + 1]) - paper[i]) > 2 for i in (0, 1)):
            faults.append(f"{pdf.name}: its paper is {size[0]}")
        pages = pages_of(pdf)
        found = {}
        for number, text in enumerate(pages, 1):
            if not text.strip():
                faults.append(f"{pdf.name}: page {number} is empty")
            for card in wished:
                # At the head of its card, at the end of a line.
                if re.search(rf"(?<!, ){card}\s*$", text, re.M):
                    found.setdefault(card, []).append((number, text))
        for card in sorted(wished):
            places = found.get(card, [])
            if len(places) != 1:
                faults.append(f"{pdf.name}: {card} begins on pages {[n for n, _ in places]}")
                continue
            number, text = places[0]
            # The last words of each kind of card.
            last = "Wipe wet, never sweep." if card.startswith("step") else "Open at room temperature"
            if last not in text:
                faults.append(f"{pdf.name}: {card} goes on after page {number}")
            # A page with a card belongs to that card alone.
            if sum(places[0][0] == number for places in found.values()) != 1:
                faults.append(f"{pdf.name}: page {number} holds more than {card}")
        cover = pages[0]
        for words in ("Worksheet for glass powder", "P100", "in the jar", "Fired, as predicted"):
            if words not in cover:
                faults.append(f"{pdf.name}: the opening page does not say {words!r}")
        if "Before the first step" not in pages[1]:
            faults.append(f"{pdf.name}: the opening page takes more than one sheet")
    if faults:
        sys.exit("\n".join(faults))
    print(f"{len(pdfs)} prints, {len(wished)} cards each on one page")


if __name__ == "__main__":
    main()
