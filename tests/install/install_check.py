#!/usr/bin/python3
"""Fails when what is installed does not work away from where it was built.

    install_check.py BUILD_FOLDER SOURCE_FOLDER WORK_FOLDER

Installs into a folder of its own, moves that elsewhere, and looks at it as a stranger would: the program plans the
small example from another folder, another project is built on the library, bash completes, groff reads the manual
pages, and the Debian packages are what dpkg-deb says they should be.
"""
import gzip
import os
import pathlib
import re
import shutil
import stat
import subprocess
import sys
import tomllib

COMMANDS = ["plan", "options", "palette", "heat", "tile", "fit", "compare", "proof", "stock"]


def run(*words, **more):
    done = subprocess.run([str(w) for w in words], capture_output=True, text=True, check=False, **more)
    if done.returncode != 0:
        sys.exit(f"{' '.join(map(str, words))}\nended with {done.returncode}:\n{done.stdout}{done.stderr}")
    return done


def check(holds, what):
    if not holds:
        sys.exit(what)


def flags_in(help_text):
    """The flags at the beginning of the lines of a help."""
    flags = set()
    for line in help_text.splitlines():
        match = re.match(r"  ((?:-\w,)?--[\w-]+)", line)
        if match:
            flags |= set(match.group(1).split(","))
    return flags


def places_in(help_text):
    """The names under "Positionals:", what is written without a flag."""
    part = re.search(r"^Positionals:\n(.*?)\n\n", help_text, re.M | re.S)
    return {line.split()[0] for line in part.group(1).splitlines()} if part else set()


def check_files(installed, forbidden):
    """No file is open to all, and none names a folder of the build."""
    for path in sorted(installed.rglob("*")):
        check(not path.is_symlink(), f"{path}: a link")
        mode = stat.S_IMODE(path.stat().st_mode)
        if path.is_dir():
            check(mode == 0o755, f"{path}: mode {mode:o}")
            continue
        check(mode == (0o755 if path.parent.name == "bin" else 0o644), f"{path}: mode {mode:o}")
        content = path.read_bytes()
        if path.suffix == ".gz":
            content = gzip.decompress(content)
        for folder in forbidden:
            check(os.fsencode(folder) not in content, f"{path}: names {folder}")


def check_program(prefix, work):
    program = prefix / "bin" / "powderplan"
    elsewhere = work / "elsewhere"
    elsewhere.mkdir()
    check(run(program, "--version", cwd=elsewhere).stdout.startswith("powderplan "), "no version")
    share = prefix / "share" / "powderplan"
    run(program, "plan", "--piece", share / "examples" / "marsh-tile" / "piece.toml", "--pitch-mm", "1", "--layers",
        "3", "--kept", "none", "--out", "tile-plan", cwd=elsewhere)
    for name in ("plan.json", "worksheet.html", "worksheet.pdf", "grams.csv"):
        check((elsewhere / "tile-plan" / name).stat().st_size > 0, f"{name} is empty")
    # The libraries with the most and with the fewest of others.
    run(program, "compare", "--cards", "corners.pdf", cwd=elsewhere)
    run(program, "palette", share / "palettes" / "marsh-full.toml", cwd=elsewhere)
    # Through a link, as a user may have put one into a folder on the path.
    (elsewhere / "linked").symlink_to(program)
    run("./linked", "heat", "--segment", "300,800,10", "--segment", "300,515,40", cwd=elsewhere)


def check_manual(prefix):
    folder = prefix / "share" / "man" / "man1"
    pages = {p.name for p in folder.iterdir()}
    check(pages == {"powderplan.1.gz"} | {f"powderplan-{c}.1.gz" for c in COMMANDS}, f"pages: {pages}")
    for command in ["", *COMMANDS]:
        words = [command] if command else []
        page = folder / ("-".join(["powderplan", *words]) + ".1.gz")
        roff = gzip.decompress(page.read_bytes()).decode()
        # groff, which did not write it, with all its warnings on.
        done = run("groff", "-man", "-ww", "-Tutf8", "-Kutf8", "-P-c", "-P-b", "-P-u", "-rLL=200n", input=roff)
        check(done.stderr == "", f"{page.name}: {done.stderr}")
        shown = done.stdout
        help_text = run(prefix / "bin" / "powderplan", *words, "--help").stdout
        wanted = flags_in(help_text) | places_in(help_text)
        check(len(wanted) >= 2, f"{command}: the help lists {wanted}")
        entries = {name for line in re.findall(r"^ {7}(\S.*)$", shown, re.M) for name in re.split(r"[ ,]+", line)}
        check(wanted <= entries, f"{page.name} lacks {wanted - entries}")
        check("CAUTIONS" in shown, f"{page.name}: no cautions")


def completed(script, *words):
    """What bash offers for the last of the words."""
    code = ('source "$1"; shift; COMP_WORDS=("$@"); COMP_CWORD=$(($# - 1)); _powderplan 2>/dev/null; '
            'printf "%s\\n" "${COMPREPLY[@]}"')
    return set(run("bash", "--norc", "-c", code, "bash", script, *words).stdout.split())


def check_completion(prefix):
    script = prefix / "share" / "bash-completion" / "completions" / "powderplan"
    run("bash", "-n", script)
    check("_powderplan powderplan" in run("bash", "--norc", "-c", f'source "{script}"; complete -p powderplan').stdout,
          "bash does not know whom to ask")
    check(completed(script, "powderplan", "") == set(COMMANDS), "not all commands are offered")
    check(completed(script, "powderplan", "pl") == {"plan"}, "plan is not offered")
    for command in COMMANDS:
        offered = completed(script, "powderplan", command, "-")
        wanted = flags_in(run(prefix / "bin" / "powderplan", command, "--help").stdout)
        check(offered == wanted, f"{command}: offered and listed differ in {offered ^ wanted}")
    check(completed(script, "powderplan", "heat", "--faces", "b") == {"both"}, "the word both is not offered")
    check(completed(script, "powderplan", "tile", "--paper", "=", "l") == {"letter"}, "letter is not offered")
    check(completed(script, "powderplan", "plan", "--out", f"{prefix}/sh") == {f"{prefix}/share"}, "no folder")
    check(completed(script, "powderplan", "plan", f"{script.parent}/p") == {str(script)}, "no file")


def check_library(prefix, source, work):
    for header in (prefix / "include").rglob("*.h"):
        for other in re.findall(r"^#include <(.+)>", header.read_text(), re.M):
            check(not re.search(r"[./]", other), f"{header}: needs {other}")
    run("cmake", "-G", "Ninja", "-S", source / "tests" / "consumer", "-B", work / "consumer",
        f"-DCMAKE_PREFIX_PATH={prefix}", "-DCMAKE_BUILD_TYPE=Debug")
    run("cmake", "--build", work / "consumer")
    shelf = source / "palettes" / "marsh-starter.toml"
    given = {p["id"]: p["over_white"] for p in tomllib.loads(shelf.read_text())["powder"]}
    for program in ("consumer", "consumer_of_all"):
        lines = run(work / "consumer" / program, shelf).stdout.split()
        predicted = dict(zip(lines[::2], lines[1::2]))
        check(predicted.keys() == given.keys(), f"{program} says {predicted}")
        for name, colour in predicted.items():
            apart = max(abs(int(colour[i:i + 2], 16) - int(given[name][i:i + 2], 16)) for i in (1, 3, 5))
            # The glass of a swatch repeats its colours; the smooth spectra between them do so to a few codes.
            check(apart <= 8, f"{name}: predicted {colour}, in the palette {given[name]}")
    broken = work / "broken.toml"
    broken.write_text("[palette\n")
    done = subprocess.run([work / "consumer" / "consumer", broken], capture_output=True, text=True, check=False)
    check(done.returncode == 1 and str(broken) in done.stderr, f"a broken palette: {done}")


def unpacked(package, folder):
    """Its fields, and its files below `folder`."""
    text = run("dpkg-deb", "--field", package).stdout
    fields = dict(re.findall(r"^(\S+): (.*(?:\n .*)*)", text, re.M))
    listed = run("dpkg-deb", "--contents", package).stdout.splitlines()
    check(all(" root/root " in line for line in listed), f"{package}: not all is root's")
    run("dpkg-deb", "--extract", package, folder)
    files = {str(p.relative_to(folder)) for p in folder.rglob("*") if p.is_file()}
    return fields, files


def packages_in(depends):
    return {re.split(r"[ (|]", one.strip())[0] for one in depends.split(",")}


def check_packages(build, work, forbidden):
    # Packed quickly; how it is packed makes no difference to what is in it.
    run("cpack", "--config", build / "CPackConfig.cmake", "-B", work / "packages", "-D",
        "CPACK_DEBIAN_COMPRESSION_TYPE=gzip", cwd=work)
    packages = {p.name.split("_")[0]: p for p in (work / "packages").glob("*.deb")}
    check(packages.keys() == {"powderplan", "powderplan-dev"}, f"packages: {packages}")

    fields, files = unpacked(packages["powderplan"], work / "deb")
    for wanted in ("usr/bin/powderplan", "usr/lib/powderplan/libpowderplan_app.so", "usr/share/doc/powderplan/copyright",
                   "usr/share/man/man1/powderplan.1.gz", "usr/share/bash-completion/completions/powderplan",
                   "usr/share/powderplan/palettes/marsh-full.toml",
                   "usr/share/powderplan/examples/marsh-tile/piece.toml"):
        check(wanted in files, f"powderplan lacks {wanted}")
    check(not [f for f in files if f.endswith((".h", ".a", ".cmake"))], "powderplan has parts of the library")
    depends = packages_in(fields["Depends"])
    # Every library that its files name, found by asking the loader of this computer and dpkg whose they are.
    needed = {"fonts-dejavu-core"}
    for file in [work / "deb" / f for f in files if f.startswith(("usr/lib", "usr/bin"))]:
        for name in re.findall(r"NEEDED.*\[(.+)\]", run("readelf", "--dynamic", file).stdout):
            if name.startswith("libpowderplan"):
                check(f"usr/lib/powderplan/{name}" in files, f"{name} is not in the package")
                continue
            owners = run("dpkg", "--search", f"*/{name}").stdout
            of_it = {line.split(":")[0] for line in owners.splitlines() if line.endswith(f"/{name}")}
            check(of_it & depends, f"{file.name} needs {name} of {of_it}, which powderplan does not depend on")
            needed |= of_it & depends
    check("fonts-dejavu-core" in depends, "the typeface of the pages is no dependency")
    check(depends <= needed, f"not needed: {depends - needed}")
    copyright_text = (work / "deb/usr/share/doc/powderplan/copyright").read_text()
    check("License: Expat" in copyright_text and "WITHOUT WARRANTY" in copyright_text, "no licence")
    run(work / "deb/usr/bin/powderplan", "--help", cwd=work)

    fields, files = unpacked(packages["powderplan-dev"], work / "deb-dev")
    for wanted in ("usr/lib/libpowderplan_core.a", "usr/lib/cmake/powderplan/powderplan-config.cmake",
                   "usr/include/powderplan/glass/palette.h", "usr/share/doc/powderplan-dev/copyright"):
        check(wanted in files, f"powderplan-dev lacks {wanted}")
    check("libopencv-dev" in packages_in(fields["Depends"]), "powderplan-dev does not ask for OpenCV")
    for folder in ("deb", "deb-dev"):
        check_files(work / folder / "usr", forbidden)


def main():
    build, source, work = (pathlib.Path(a).resolve() for a in sys.argv[1:])
    shutil.rmtree(work, ignore_errors=True)
    work.mkdir(parents=True)
    os.umask(0o022)
    forbidden = [str(build), str(source), str(work)]

    run("cmake", "--install", build, "--prefix", work / "first")
    prefix = (work / "first").rename(work / "moved")
    check_files(prefix, forbidden)
    check_program(prefix, work)
    check_manual(prefix)
    check_completion(prefix)
    check_library(prefix, source, work)
    check_packages(build, work, forbidden)
    print("installed, moved and packed, it works")


main()
