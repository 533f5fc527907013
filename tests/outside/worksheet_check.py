#!/usr/bin/env python3
"""Reads worksheet.html of a plan folder with Python's own parser: names stay text, nothing is loaded.

    worksheet_check.py PLANFOLDER
"""
import base64
import hashlib
import html.parser
import io
import json
import pathlib
import re
import sys

from PIL import Image

VOID = {"meta", "br", "img", "link", "input", "hr"}
# What pages for a bench need; anything else came from somewhere else.
ALLOWED = set("html head meta title style script body main nav section header span div p b i bdi small br h1 h2 h3 ul "
              "ol li figure figcaption table thead tbody tr th td svg g path circle rect text tspan image use polyline "
              "label select input button".split())


class Page(html.parser.HTMLParser):
    def __init__(self):
        super().__init__(convert_charrefs=True)
        self.open, self.faults, self.text, self.pictures, self.ids, self.uses = [], [], [], [], set(), set()
        self.hidden = []  # styles, scripts and their data

    def handle_starttag(self, tag, attributes, closed=False):
        if tag not in ALLOWED:
            self.faults.append(f"<{tag}> is no part of a worksheet")
        for name, value in attributes:
            value = value or ""
            if name.startswith("on"):
                self.faults.append(f"{tag} {name}")
            if name == "id":
                if value in self.ids:
                    self.faults.append(f"id {value} twice")
                self.ids.add(value)
            if name in ("src", "href", "xlink:href", "data", "action"):
                if value.startswith("data:image/webp;base64,"):
                    self.pictures.append(base64.b64decode(value.split(",", 1)[1], validate=True))
                elif value.startswith("#"):
                    self.uses.add(value[1:])
                else:
                    self.faults.append(f"{tag} {name}={value[:60]}")
            elif re.search(r"https?:|//|url\(", value):
                self.faults.append(f"{tag} {name}={value[:60]}")
        if tag not in VOID and not closed:
            self.open.append(tag)

    def handle_startendtag(self, tag, attributes):
        self.handle_starttag(tag, attributes, closed=True)

    def handle_endtag(self, tag):
        if not self.open or self.open[-1] != tag:
            self.faults.append(f"</{tag}> closes {self.open[-1:]}")
        else:
            self.open.pop()

    def handle_data(self, data):
        if self.open and self.open[-1] in ("style", "script"):
            if re.search(r"https?:|url\(|@import|\bfetch\b|XMLHttpRequest|\bimport\b|\beval\b", data):
                self.faults.append(f"the {self.open[-1]} loads something")
            self.hidden.append(data)
        else:
            self.text.append(data)


def main():
    folder = pathlib.Path(sys.argv[1])
    plan = json.loads((folder / "plan.json").read_text(encoding="utf-8"))
    source = (folder / "worksheet.html").read_text(encoding="utf-8")
    page = Page()
    page.feed(source)
    page.close()
    faults = page.faults + [f"<{tag}> is never closed" for tag in page.open]
    text = "".join(page.text)
    for what in [plan["piece"]["title"]] + [p["name"] for p in plan["powders"]] + plan["notes"]:
        if what not in text:
            faults.append(f"{what!r} is not on the page as text")
    for word in ("P100", "N95", "extraction", "wet", "manual", "expansion"):
        if word not in text:
            faults.append(f"no caution says {word!r}")
    if "http:" in source or "https:" in source:
        faults.append("an address is on the page")
    faults += [f"#{name} is used and not there" for name in page.uses - page.ids]
    told = [r for r in plan["reactions"] if r["letter"]]
    # Each step twice: where its powder goes, and how the piece looks then.
    if len(page.pictures) != 2 + 2 * len(plan["layers"]) + len(plan["firings"]) + bool(told):
        faults.append(f"{len(page.pictures)} pictures")
    # The fingerprint under which notes are kept.
    facts = next(json.loads(data) for data in page.hidden if data.startswith('{"plan_sha256"'))
    if facts["plan_sha256"] != hashlib.sha256((folder / "plan.json").read_bytes()).hexdigest():
        faults.append("the worksheet belongs to another plan.json")
    if facts["title"] != plan["piece"]["title"]:
        faults.append(f"its script knows the piece as {facts['title']!r}")
    for webp in page.pictures:
        with Image.open(io.BytesIO(webp)) as picture:
            picture.load()
            if picture.width > 900:
                faults.append(f"a picture is {picture.width} wide")
    if faults:
        sys.exit("\n".join(faults))
    print(f"{len(page.pictures)} pictures, {len(text)} characters: all is text, nothing is loaded")


if __name__ == "__main__":
    main()
