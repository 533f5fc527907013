#!/usr/bin/env python3
"""Writes the same trial plan under two desktops, one of them with fontconfig rules that change every letter
(https://www.freedesktop.org/software/fontconfig/fontconfig-user.html), and compares what is printed, byte by byte.

    desktop_settings_check.py WRITE_TRIAL_PLAN
"""
import os
import pathlib
import subprocess
import sys
import tempfile

RULES = """<?xml version="1.0"?>
<!DOCTYPE fontconfig SYSTEM "fonts.dtd">
<fontconfig>
<match target="pattern"><test name="family"><string>DejaVu Sans</string></test>
<edit name="family" mode="assign" binding="strong"><string>DejaVu Sans Mono</string></edit></match>
<match target="font">
<edit name="embolden" mode="assign"><bool>true</bool></edit>
<edit name="antialias" mode="assign"><bool>false</bool></edit>
<edit name="hintstyle" mode="assign"><const>hintfull</const></edit>
</match>
</fontconfig>
"""
PRINTED = ["templates.pdf", "worksheet.pdf", "proof.png"]


def written(program, place, name, **settings):
    folder = place / name
    subprocess.run([program, folder, "wall"], check=True, env=os.environ | settings)
    return {file: (folder / file).read_bytes() for file in PRINTED if (folder / file).exists()}


def main():
    with tempfile.TemporaryDirectory() as place:
        place = pathlib.Path(place)
        (place / "settings/fontconfig").mkdir(parents=True)
        (place / "settings/fontconfig/fonts.conf").write_text(RULES)
        plain = written(sys.argv[1], place, "plain", LANG="C")
        odd = {"LANG": "ar_EG.UTF-8", "XDG_CONFIG_HOME": str(place / "settings")}
        asked = subprocess.run(["fc-match", "DejaVu Sans"], env=os.environ | odd, capture_output=True, text=True)
        if "Mono" not in asked.stdout:
            print("fontconfig does not read the rules here:", asked.stdout.strip())
            return 77
        other = written(sys.argv[1], place, "odd", **odd)
    faults = [name for name in plain if plain[name] != other[name]]
    if faults or not plain:
        sys.exit(f"the desktop's settings change {faults}")
    print(f"the same bytes: {', '.join(plain)}")
    return 0


if __name__ == "__main__":
    sys.exit(main())
