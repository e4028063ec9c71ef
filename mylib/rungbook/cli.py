"""The commands: `rungbook demo`, `check`, `progress`, `class`, `kit`, `start`, `build`, `site`, `variant`, …"""

from __future__ import annotations

import argparse
import subprocess
import sys
from collections.abc import Sequence
from pathlib import Path

import rungbook
from rungbook.alone.commands import add_learner_commands
from rungbook.classroom.class_commands import add_class_commands
from rungbook.classroom.kit_commands import add_kit_commands
from rungbook.errors import LadderError


def _parser() -> argparse.ArgumentParser:
    parser = argparse.ArgumentParser(
        prog="rungbook",
        description="Course workbook for electrically controlled motor systems, with auto-graded exercises.",
    )
    parser.add_argument("--version", action="version", version=f"rungbook {rungbook.__version__}")
    commands = parser.add_subparsers(dest="command", required=True, metavar="COMMAND")

    demo = commands.add_parser("demo", help="mark eight invented submissions and show the marks")
    demo.add_argument(
        "folder", nargs="?", type=Path, help="new or empty folder for the class (default: a temporary one)"
    )
    demo.set_defaults(run=_demo)

    add_learner_commands(commands)
    add_class_commands(commands)

    start = commands.add_parser("start", help="open JupyterLab on the course")
    start.add_argument("more", nargs="*", metavar="ARG", help="arguments for jupyter lab, after --")
    start.set_defaults(run=_start)

    build = commands.add_parser("build", help="make the notebooks from the labs' Markdown sources")
    build.add_argument(
        "--check", action="store_true", help="write nothing; fail if a released notebook is not up to date"
    )
    build.set_defaults(run=_build)

    site = commands.add_parser("site", help="build the edition that runs in a browser, as a folder of static files")
    site.add_argument("folder", type=Path, metavar="DIR", help="new or empty, or an older site, which is replaced")
    site.add_argument("--tools", type=Path, metavar="VENV", help="environment with the tools (default: DIR-tools)")
    site.add_argument("--pyodide", type=Path, metavar="FILE", help="npm package of Pyodide (default: npm fetches it)")
    site.set_defaults(run=_site)

    variant = commands.add_parser("variant", help="make one student's own variant of a lab")
    variant.add_argument("lab", metavar="LAB", help="such as lab02")
    variant.add_argument("--student", required=True, metavar="ID", help="the student's id in the gradebook")
    variant.add_argument(
        "--secret-file", required=True, type=Path, metavar="FILE", help="holds the secret that you keep to yourself"
    )
    variant.add_argument("--to", required=True, type=Path, metavar="DIR", help="new or empty folder for the notebooks")
    variant.set_defaults(run=_variant)

    symbols = commands.add_parser("symbols", help="write a page with every symbol of both sets")
    symbols.add_argument("file", type=Path, help="the page to write, such as symbols.html")
    symbols.set_defaults(run=_symbols)

    convert = commands.add_parser("convert", help="print a ladder as text or XML of IEC 61131, or as JSON")
    convert.add_argument("file", type=Path, metavar="FILE", help="a ladder: .json, .st or .xml")
    convert.add_argument("--to", required=True, metavar="FORM", help="st, xml or json")
    convert.set_defaults(run=_convert)

    prints = commands.add_parser("print", help="print ladders on sheets with a title block, as PDF or HTML")
    prints.add_argument("files", type=Path, nargs="+", metavar="FILE", help="a ladder: .json, .st or .xml")
    prints.add_argument("-o", "--output", required=True, type=Path, metavar="OUT", help="such as sheets.pdf")
    prints.add_argument("--paper", default="A4", help="A4 or Letter")
    prints.add_argument("--wide", action="store_true", help="the longer side at the bottom")
    prints.add_argument("--symbols", default="nema", help="nema or iec")
    prints.add_argument("--paths", default="across", help="current paths across or down")
    for field in ("title", "lab", "group", "date", "drawn-by", "checked-by"):
        prints.add_argument(f"--{field}", default="", metavar="TEXT", help="in the title block")
    prints.set_defaults(run=_print)

    add_kit_commands(commands)
    return parser


def _demo(options: argparse.Namespace) -> int:
    from rungbook.classroom.demo import demo, report

    folder, marked = demo(options.folder)
    print(report(folder, marked))
    return 0


def _start(options: argparse.Namespace) -> int:
    from rungbook.classroom.labs import find_root

    course = find_root(students=True) / "course"
    return subprocess.call([sys.executable, "-m", "jupyterlab", str(course), *options.more])


def _build(options: argparse.Namespace) -> int:
    from rungbook.classroom.build import (
        build,
        build_first_lesson,
        build_glossary,
        stale,
        stale_first_lesson,
        stale_glossary,
    )
    from rungbook.classroom.labs import find_labs, find_root

    root = find_root()
    labs = find_labs(root)
    if options.check:
        old = stale(labs) + stale_glossary(root) + stale_first_lesson(root)
        for path in old:
            print(f"not up to date: {path.relative_to(root)}")
        if old:
            print("run: rungbook build")
        return 1 if old else 0
    changed = build(labs) + build_glossary(root) + build_first_lesson(root)
    for path in changed:
        print(f"written: {path.relative_to(root)}")
    print(f"{len(labs)} lab{'s' * (len(labs) != 1)}, {len(changed)} files changed")
    return 0


def _site(options: argparse.Namespace) -> int:
    from rungbook.alone.find import sealed_packs
    from rungbook.classroom.labs import find_root
    from rungbook.classroom.site import build_site

    root = find_root(students=True)
    made = build_site(options.folder, root, options.tools, options.pyodide, sealed_packs(root))
    print(
        f"{made.folder}: {made.notebooks} notebooks, {made.size / 1e6:.0f} MB; any static web server serves it, such as"
    )
    if not made.compiled:
        print("There is no node here to make bytecode with, so the first cell takes some seconds longer.")
    print(f"{sys.executable} -m http.server --bind 127.0.0.1 --directory {made.folder}")
    return 0


def _variant(options: argparse.Namespace) -> int:
    from rungbook.classroom.labs import find_lab, find_root
    from rungbook.classroom.variants import build_variant, read_secret, variant_of

    lab = find_lab(find_root(), options.lab)
    variant = variant_of(lab, options.student, read_secret(options.secret_file))
    for path in build_variant(lab, variant, options.to):
        print(f"written: {path}")
    changes = ", ".join(f"{word} is {new}" for word, new in variant.becomes.items() if word != new)
    print(f"variant {variant.name} of {lab.name}: {changes or 'the lab as it stands'}")
    return 0


def _symbols(options: argparse.Namespace) -> int:
    from rungbook.drawing import gallery

    if options.file.suffix.lower() not in (".html", ".htm"):
        raise LadderError("symbols", "the page is HTML", str(options.file), (f"{options.file.stem or 'symbols'}.html",))
    if not options.file.resolve().parent.is_dir():
        raise LadderError("symbols", "the folder of the page does not exist", str(options.file))
    options.file.write_text(gallery(), encoding="utf-8", newline="\n")
    print(f"written: {options.file}")
    return 0


def _convert(options: argparse.Namespace) -> int:
    from rungbook.exchange import convert

    print(convert(options.file, options.to), end="")
    return 0


def _print(options: argparse.Namespace) -> int:
    from dataclasses import fields

    from rungbook.drawing import sheets
    from rungbook.drawing.title_block import TitleBlock
    from rungbook.exchange.convert import read_ladder

    block = TitleBlock(**{field.name: getattr(options, field.name) for field in fields(TitleBlock)})
    ladders = [read_ladder(file, "print") for file in options.files]
    made = sheets(ladders, options.paper, block, options.wide, options.symbols, options.paths)
    made.save(options.output)
    print(f"written: {options.output} ({made.count} sheet{'s' * (made.count != 1)} of {made.paper})")
    return 0


def main(arguments: Sequence[str] | None = None) -> int:
    """Run one command; return its exit status. An error in the input is one line on standard error, status 2."""
    options = _parser().parse_args(arguments)
    # nbformat imports jsonschema, which imports this package where another one has installed it, for a check of
    # addresses that no notebook has; its grammar takes longer to load than all the rest of nbformat. This process is
    # ours alone: whoever imports the package keeps what is installed
    sys.modules.setdefault("rfc3987_syntax", None)  # type: ignore[arg-type]
    try:
        return int(options.run(options))
    except LadderError as problem:
        command = " ".join(filter(None, (options.command, getattr(options, "part", None))))
        print(f"rungbook {command}: {problem}", file=sys.stderr)
        return 2


if __name__ == "__main__":
    sys.exit(main())
