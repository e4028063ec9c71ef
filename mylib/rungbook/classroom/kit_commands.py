"""The commands of `rungbook kit`: the ledger of an instructor's kits from the command line."""

from __future__ import annotations

import argparse
import getpass
from collections.abc import Callable
from pathlib import Path
from typing import TYPE_CHECKING

from rungbook.errors import LadderError

if TYPE_CHECKING:
    from rungbook.kit.ledger import Finding, Ledger
    from rungbook.kit.ledger.lists import Listing

FILE = "kits.db"


def add_kit_commands(commands: argparse._SubParsersAction[argparse.ArgumentParser]) -> None:
    """Add `kit` and its commands to `commands`."""
    kit = commands.add_parser("kit", help="the ledger of the kits: issue, check in, return, what to order")
    kit.add_argument("--ledger", type=Path, default=Path(FILE), metavar="FILE", help=f"default: {FILE} in this folder")
    kit.add_argument("--by", default="", metavar="NAME", help="who makes the entry (default: your account's name)")
    acts = kit.add_subparsers(dest="act", required=True, metavar="WHAT")

    add = acts.add_parser("add", help="add kits, of the course's training kit or from a CSV (kit, piece, model)")
    add.add_argument("kits", nargs="*", metavar="KIT", help="numbers of new kits like the training kit, such as K01")
    add.add_argument("--from", dest="source", type=Path, metavar="FILE", help="CSV with columns kit, piece, model")
    add.set_defaults(run=_add)

    issue = acts.add_parser("issue", help="issue a kit to a group")
    issue.add_argument("kit", metavar="KIT")
    issue.add_argument("--group", required=True)
    issue.add_argument("--members", required=True, metavar="NAMES", help="parted by commas")
    issue.set_defaults(run=_issue)

    for name, words in (("check", "enter the check-in list of the group"), ("return", "take a kit back")):
        check = acts.add_parser(name, help=words)
        check.add_argument("kit", metavar="KIT")
        check.add_argument("--signed", required=True, metavar="NAMES", help="who signed the list, parted by commas")
        how = check.add_mutually_exclusive_group(required=True)
        how.add_argument("--list", type=Path, metavar="FILE", help="CSV with columns piece, condition, remark")
        how.add_argument("--all-good", action="store_true", help="every piece good but those under --but")
        check.add_argument(
            "--but", action="append", default=[], metavar="PIECE=CONDITION[:REMARK]", help="such as S2=damaged:cap off"
        )
        check.set_defaults(run=_check, back=name == "return")

    replace = acts.add_parser("replace", help="a piece has been repaired or replaced")
    replace.add_argument("kit", metavar="KIT")
    replace.add_argument("piece", metavar="PIECE")
    replace.add_argument("--remark", default="")
    replace.set_defaults(run=_replace)

    withdraw = acts.add_parser("withdraw", help="take a kit out of use; its history stays")
    withdraw.add_argument("kit", metavar="KIT")
    withdraw.add_argument("--remark", default="")
    withdraw.set_defaults(run=_withdraw)

    price = acts.add_parser("price", help="enter what new pieces cost, from a CSV (model, cost)")
    price.add_argument("file", type=Path, metavar="FILE")
    price.add_argument("--currency", required=True, help="such as EUR")
    price.set_defaults(run=_price)

    back = acts.add_parser("take-back", help="take an entry back that was made by mistake")
    back.add_argument("number", type=int, metavar="ENTRY", help="its number in the history")
    back.add_argument("--reason", required=True)
    back.set_defaults(run=_take_back)

    sheets = acts.add_parser("sheets", help="wiring sheets of a lab for all groups, one file to print")
    sheets.add_argument("lab", metavar="LAB", help="such as lab02")
    sheets.add_argument("-o", "--output", required=True, type=Path, metavar="OUT", help="such as sheets.pdf")
    sheets.add_argument("--groups", default="", metavar="NAMES", help="parted by commas (default: one, to fill in)")
    sheets.add_argument("--circuit", action="append", default=[], metavar="NAME", help="of the lab's answers")
    sheets.add_argument("--symbols", default="nema", help="nema or iec")
    sheets.add_argument("--paper", default="A4", help="A4 or Letter")
    sheets.add_argument("--control-only", action="store_true", help="without the power side")
    sheets.set_defaults(run=_sheets)

    tests = acts.add_parser("test-sheet", help="inspection and function test of every part, to print")
    tests.add_argument("kits", nargs="*", metavar="KIT", help="numbers to fill in (default: one, to fill in)")
    tests.add_argument("-o", "--output", required=True, type=Path, metavar="OUT", help="such as test.pdf")
    tests.add_argument("--paper", default="A4", help="A4 or Letter")
    tests.set_defaults(run=_test_sheet)

    plan = acts.add_parser("plan", help="which labs the kit carries, what to add, what a class costs")
    plan.add_argument("labs", nargs="*", metavar="LAB", help="default: all")
    plan.add_argument("--groups", type=int, default=0, metavar="N", help="cost of kits for so many groups")
    plan.add_argument(
        "--prices", type=Path, metavar="FILE", help="CSV with columns model, cost (default: the ledger's)"
    )
    plan.add_argument("--currency", default="", help="of --prices")
    plan.set_defaults(run=_plan)

    for name, words, one in (
        ("list", "all kits: where they are, and their condition", False),
        ("show", "one kit piece by piece, also as the list to fill in at a check", True),
        ("history", "every entry, or those of one kit", None),
        ("charges", "loss and damage by group, with replacement cost", False),
        ("order", "what must be ordered before next term", False),
    ):
        shows = acts.add_parser(name, help=words)
        if one is not False:
            shows.add_argument("kit", metavar="KIT", nargs=None if one else "?", default="")
        shows.add_argument("--csv", type=Path, metavar="FILE", help="write the table to a CSV file instead")
        shows.set_defaults(run=_show, table=name)


def _ledger(options: argparse.Namespace, *, new: bool = False) -> Ledger:
    from rungbook.kit.ledger import Ledger

    return Ledger(options.ledger, new=new)


def _by(options: argparse.Namespace) -> str:
    return options.by or getpass.getuser()


def _names(text: str) -> list[str]:
    return [name.strip() for name in text.split(",") if name.strip()]


def _done(entry: object) -> int:
    from rungbook.kit.ledger import Entry

    assert isinstance(entry, Entry)
    print(f"entry {entry.number}: {entry.kit + ' ' if entry.kit else ''}{entry.told()}")
    return 0


def _add(options: argparse.Namespace) -> int:
    from rungbook.kit import TRAINING_KIT
    from rungbook.kit.ledger import pieces
    from rungbook.kit.ledger.files import read_kits

    if bool(options.kits) == (options.source is not None):
        raise LadderError("rungbook kit add", "takes numbers of kits, or a file", None, ("K01 K02", "--from kits.csv"))
    listed = (
        read_kits(options.source)
        if options.source
        else [(kit, TRAINING_KIT.name, pieces(TRAINING_KIT)) for kit in options.kits]
    )
    for entry in _ledger(options, new=True).add_all(_by(options), listed):
        _done(entry)
    return 0


def _issue(options: argparse.Namespace) -> int:
    return _done(_ledger(options).issue(_by(options), options.kit, options.group, _names(options.members)))


def _check(options: argparse.Namespace) -> int:
    from rungbook.kit.ledger.files import read_findings

    ledger = _ledger(options)
    if options.list is not None:
        if options.but:
            raise LadderError("rungbook kit", "--but goes with --all-good; a list has the condition of every piece")
        found = read_findings(options.list)
    else:
        found = _all_but(ledger, options.kit, options.but)
    write = ledger.take_in if options.back else ledger.check
    return _done(write(_by(options), options.kit, found, _names(options.signed)))


def _all_but(ledger: Ledger, kit: str, but: list[str]) -> list[Finding]:
    from rungbook.kit.ledger import CONDITIONS, Finding

    found = {piece.name: Finding(piece.name, "good") for piece in ledger.books().kit(kit).pieces}
    for text in but:
        piece, _, rest = text.partition("=")
        condition, _, remark = rest.partition(":")
        if piece not in found:
            raise LadderError(f"Kit {kit}", "has no such piece", piece, tuple(found))
        if condition not in CONDITIONS:
            raise LadderError("--but", "is PIECE=CONDITION or PIECE=CONDITION:REMARK", text, CONDITIONS)
        found[piece] = Finding(piece, condition, remark)
    return list(found.values())


def _replace(options: argparse.Namespace) -> int:
    return _done(_ledger(options).replace(_by(options), options.kit, options.piece, options.remark))


def _withdraw(options: argparse.Namespace) -> int:
    return _done(_ledger(options).withdraw(_by(options), options.kit, options.remark))


def _price(options: argparse.Namespace) -> int:
    from rungbook.kit.ledger.files import read_prices

    return _done(_ledger(options).price(_by(options), read_prices(options.file), options.currency))


def _take_back(options: argparse.Namespace) -> int:
    return _done(_ledger(options).take_back(_by(options), options.number, options.reason))


def _show(options: argparse.Namespace) -> int:
    from rungbook.kit.ledger import lists
    from rungbook.kit.ledger.files import write

    tables: dict[str, Callable[..., Listing]] = {
        "list": lists.overview,
        "show": lists.contents,
        "history": lists.history,
        "charges": lists.charges,
        "order": lists.order,
    }
    named = [options.kit] if getattr(options, "kit", "") else []
    listing = tables[options.table](_ledger(options).books(), *named)
    if options.csv is None:
        print(listing)
    else:
        print(f"written: {write(listing, options.csv)}")
    return 0


def _sheets(options: argparse.Namespace) -> int:
    from rungbook.classroom.kit_sheets import lab_sheets
    from rungbook.classroom.labs import find_lab, find_root
    from rungbook.drawing.forms import save_forms

    groups = _names(options.groups) or [""]
    kits = _kits_of_groups(options) if options.ledger.is_file() else {}
    lab = find_lab(find_root(), options.lab)
    forms = lab_sheets(
        lab,
        groups,
        kits=kits,
        circuits=options.circuit,
        symbols=options.symbols,
        control_only=options.control_only,
    )
    print(f"written: {save_forms(forms, options.output, options.paper)}, {len(forms)} wiring sheets")
    return 0


def _kits_of_groups(options: argparse.Namespace) -> dict[str, str]:
    states = _ledger(options).books().kits.values()
    return {state.holding.group: state.kit for state in states if state.holding is not None}


def _test_sheet(options: argparse.Namespace) -> int:
    from rungbook.classroom.kit_sheets import test_sheets
    from rungbook.drawing.forms import save_forms
    from rungbook.kit import TRAINING_KIT

    groups = {kit: group for group, kit in _kits_of_groups(options).items()} if options.ledger.is_file() else {}
    forms = test_sheets({kit: (TRAINING_KIT, groups.get(kit, "")) for kit in options.kits or [""]})
    print(f"written: {save_forms(forms, options.output, options.paper)}, {len(forms)} test sheets")
    return 0


def _plan(options: argparse.Namespace) -> int:
    from decimal import Decimal

    from rungbook.classroom.kit_plan import costs, plan, what_carries
    from rungbook.classroom.labs import find_lab, find_labs, find_root
    from rungbook.kit.ledger.entries import money
    from rungbook.kit.ledger.files import read_prices

    root = find_root()
    labs = [find_lab(root, name) for name in options.labs] or find_labs(root)
    plans = plan(labs)
    print(what_carries(plans))
    if options.groups:
        prices, currency = {}, options.currency
        if options.prices is not None:
            prices = {m: Decimal(money(f"Model {m!r}", cost)) for m, cost in read_prices(options.prices).items()}
        elif options.ledger.is_file():
            books = _ledger(options).books()
            prices, currency = books.prices, books.currency
        print()
        print(costs(plans, options.groups, prices, currency))
    return 0
