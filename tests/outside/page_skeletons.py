"""What a page, drawing or table is made of, without what is called by names in it: two outputs that differ in nothing
but names must be the same here."""
import csv
import io
import json
import re
import struct
import xml.etree.ElementTree as ElementTree
from html.parser import HTMLParser

# Attributes that say a name: to those who cannot see the picture, and in the list of pages.
NAMED = {"aria-label", "alt", "title", "content", "data-goto", "data-label"}


class Skeleton(HTMLParser):
    def __init__(self):
        super().__init__(convert_charrefs=True)
        self.parts, self.words, self.code, self.within = [], [], [], None

    def handle_starttag(self, tag, attributes):
        kept = [(key, None if key in NAMED else value) for key, value in attributes]
        self.parts.append(("open", tag, kept))
        self.within = tag

    def handle_endtag(self, tag):
        self.parts.append(("close", tag))
        self.within = None

    def handle_data(self, data):
        if self.within in ("script", "style"):
            self.code.append((self.within, data))
        else:
            self.words.append(data)

    def handle_comment(self, data):
        self.parts.append(("comment", data))

    def handle_decl(self, decl):
        self.parts.append(("declaration", decl))

    unknown_decl = handle_decl

    def handle_pi(self, data):
        self.parts.append(("instruction", data))


def without_names(value):
    """JSON with every text that is no number, address or word of the program's own taken out."""
    if isinstance(value, dict):
        return {key: without_names(inner) for key, inner in value.items()}
    if isinstance(value, list):
        return [without_names(inner) for inner in value]
    if isinstance(value, str) and not value.startswith("data:"):
        return "text"
    return value


def of_html(text):
    """Elements with attributes, the code in them, and all words as a reader sees them."""
    page = Skeleton()
    page.feed(text)
    page.close()
    code = []
    for kind, data in page.code:
        try:
            code.append((kind, without_names(json.loads(data))))
        except ValueError:
            code.append((kind, data))
    return page.parts, code, "".join(page.words)


def of_svg(data):
    """Elements with attributes in order, and their words. Raises where it is no well-formed XML 1.0."""
    parts, words = [], []
    for element in ElementTree.fromstring(data).iter():
        attributes = {key: None if key in NAMED else value for key, value in element.attrib.items()}
        parts.append((element.tag, attributes))
        words.append(element.text or "")
    return parts, "".join(words)


def is_number(text):
    return re.fullmatch(r"-?\d+(\.\d+)?(e[+-]?\d+)?", text) is not None


def formulas_in(text):
    """Cells that a spreadsheet may take for formulas, however it parts them (OWASP, CSV Injection)."""
    found = []
    for mark in ",;\t|":
        for record in csv.reader(io.StringIO(text, newline=""), delimiter=mark):
            found += [cell for cell in record
                      if cell.strip(" \"'")[:1] in tuple("=+-@\uff1d\uff0b\uff0d\uff20") and cell.strip(" \"'")
                      and not is_number(cell) and not cell.lstrip(" \"").startswith("'")]
            found += [cell for cell in record if cell[:1] in ("\t", "\r", "\n")]
    return found


def chunks_of_png(data):
    names, at = [], 8
    while at + 8 <= len(data):
        length, name = struct.unpack(">I4s", data[at:at + 8])
        names.append(name.decode("ascii"))
        at += 12 + length
    return names
