"""Names as somebody might write them who wants to break out of a page, a drawing, a table or a terminal, the harmless
names that they are held against, and a shelf and a picture that carry either."""
import json
import unicodedata

import numpy as np
from PIL import Image

# What would begin a formula in a spreadsheet, or lead one in.
LEADS = ["=HYPERLINK(\"http://x.invalid\",\"=1\")", "+1", "-1", "@SUM(1)", "\t=1", "\r=1", "\uff1d1", ";=1+1", "\u202e=1",
         "\u0000-1"]
# One of each kind: HTML and its attributes, scripts, templates, XML, formats, DXF groups, PDF strings, terminal
# sequences (ECMA-48, C0 and C1), marks that turn the order round, line ends of Unicode, noncharacters.
BREAKS = ["</title><script>alert(1)</script>", "\"><img src=x onerror=alert(2)>", "' onmouseover='alert(3)", "&amp;&lt;&",
          "{{mustache}}{{{title}}}{{#steps}}{{> cover}}{{=<% %>=}}", "<!-- --> ]]> <?xml?> <![CDATA[", "%s%n{}{0}",
          "\n  0\r\nEOF\r\n", ") Tj (\\", "%%EOF\\)>>", "\x1b[2J\x1b]0;owned\x07\x9b31m\x08\x7f",
          "\u202etxt.exe\u202c \u2066x\u2069", "a\u2028b\u2029c", "\ufffe\U0001ffff", "../../etc/passwd",
          "$(touch owned)`touch owned`;|&", ";=1+1,\"=2\"\t=3\n=4", "<b>bold</b>&#60;",
          "javascript:alert(4)", "e\u0301\u05d0\u05d1\u0627\u0628\U0001f600"]
LONG = 10_000
# All that an id may hold, in the places where it hurts most.
IDS = ["-rf", "__proto__", "con", "0", "constructor", "--title", "NUL", "x" * 48]
REFUSED_IDS = ["", "x" * 49, "a/b", "..", ".", ".hidden", "a.b", "a b", "a\nb", "a\tb", "a\x1bb", "a\u0000b", "\u00e9",
               "a%b", "<b>", "a\"b", "a'b", "C:", "a\\b", "\u202ea", "~", "*"]
FILE_NAME = b"=\"<i>&'{{x}}\n\x1b[2J\xff\xe2\x80\xae;-1.png"


def hostile(place):
    return LEADS[place % len(LEADS)] + " ".join(BREAKS[place % 3:])


def harmless(text):
    """As long, and nothing in it that means anything to anyone."""
    return "n" * len(text)


def plain(text):
    """What every page may show of it: the rule of src/utf8.h, written down a second time."""
    shown = []
    for letter in text:
        code = ord(letter)
        if unicodedata.category(letter) == "Cc" or code in (0x2028, 0x2029):
            shown.append(" ")
        elif (code & 0xFFFE) == 0xFFFE or 0xFDD0 <= code <= 0xFDEF:
            shown.append("\ufffd")
        elif not (0x202A <= code <= 0x202E or 0x2066 <= code <= 0x2069):
            shown.append(letter)
    return "".join(shown)


def toml(text):
    """A basic string of TOML 1.0."""
    return "\"" + "".join(c if " " <= c <= "~" and c not in "\"\\" else f"\\U{ord(c):08X}" for c in text) + "\""


def shelf(name):
    """A palette of 8 powders and 3 sheets; `name` makes what they are called out of their hostile names."""
    colours = [("#efefea", "#dfdfdc"), ("#19191c", "#17171a"), ("#b03020", "#a02818"), ("#d0a030", "#b08828"),
               ("#3050a0", "#284890"), ("#408040", "#386838"), ("#8a7a66", "#7a6a58"), ("#70a0c0", "#6090b0")]
    text = (f"[palette]\nname = {toml(name(hostile(0)))}\nnote = {toml(name(hostile(1)))}\n"
            f"family = {toml(name(hostile(2)))}\n")
    for place, (white, black) in enumerate(colours):
        text += (f"[[powder]]\nid = {toml(IDS[place])}\nname = {toml(name(hostile(place)))}\nbody = \"opalescent\"\n"
                 f"over_white = \"{white}\"\nover_black = \"{black}\"\nload = 0.4\nstock_g = 5\n"
                 f"carries = [{toml(name(hostile(place)) if place < 2 else 'lead')}]\n"
                 f"reacts_with = [{toml(name(hostile(1 - place)) if place < 2 else 'sulphur')}]\n")
    for place, (key, white, black) in enumerate([("clear", "#e8ece8", "#101010"), ("dark", "#202022", "#1c1c1e"),
                                                ("white", "#f0f0ec", "#e6e6e4")]):
        long = name(hostile(9) + "w" * LONG) if place == 0 else name(hostile(8))
        body = "transparent" if place == 0 else "opalescent"
        text += (f"[[sheet]]\nid = \"{key}\"\nname = {toml(long)}\nbody = \"{body}\"\n"
                 f"over_white = \"{white}\"\nover_black = \"{black}\"\n")
    return text


def title(name):
    return name("-" + " ".join(LEADS + BREAKS))


def photographed_tile(example, file, name):
    """The tile of the example photo, as if its powders and sheets were those of the shelf."""
    tile = json.loads(example.read_text(encoding="utf-8"))
    tile["dark_sheet"] = "dark"
    for place, row in enumerate(tile["rows"], 1):
        row["powder"], row["name"] = IDS[place], name(hostile(place))
    file.write_text(json.dumps(tile), encoding="utf-8")


def picture(file):
    """Fields of several colours with an edge and a soft side."""
    y, x = np.mgrid[0:120, 0:160]
    values = np.full((120, 160, 3), (240, 240, 235), np.uint8)
    values[(x - 50) ** 2 + (y - 60) ** 2 < 1400] = (180, 48, 32)
    values[(abs(x - 120) < 25) & (abs(y - 40) < 25)] = (25, 25, 28)
    values[(abs(x - 120) < 25) & (abs(y - 92) < 18)] = (48, 80, 160)
    with open(file, "wb") as out:  # by bytes: its name may be no UTF-8
        Image.fromarray(values).save(out, format="PNG")


PHOTO_CORNERS = "200,200,850,200,850,688,200,688"


def photo(preview, file):
    """The piece on white paper, seen from right above."""
    with Image.open(preview) as piece:
        seen = piece.convert("RGB").resize((650, 488))
    paper = Image.new("RGB", (1050, 888), (235, 235, 235))
    paper.paste(seen, (200, 200))
    with open(file, "wb") as out:
        paper.save(out, format="PNG")
