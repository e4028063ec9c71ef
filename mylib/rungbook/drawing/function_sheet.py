"""The inspection and function-test sheet of a kit: each part with every test from the catalogue, to fill in."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from html import escape

from rungbook.drawing.forms import FIELDS, Form, block, cautions, fill_in
from rungbook.errors import LadderError
from rungbook.kit import Kit
from rungbook.kit.function_tests import FunctionTest, function_tests


def function_sheet(kit: Kit, tags: Iterable[str] | None = None, filled: Mapping[str, str] | None = None) -> Form:
    """Return the inspection and function-test sheet of `kit`, or of its parts `tags`.

    filled: what fields say already, such as {"Group": "A", "Kit": "K03"}. Contacts stand in a table of positions, a
    contact chart to fill in. Raises LadderError if `kit` is none, has no such part, or there is no such field.
    """
    if not isinstance(kit, Kit):
        raise LadderError("function_sheet", "is made of a Kit", kit, ("TRAINING_KIT",))
    for field in filled or {}:
        if field not in FIELDS:
            raise LadderError("function_sheet", "has no such field", field, FIELDS)
    wanted = tuple(kit.devices) if tags is None else tuple(tags)
    title = f"Inspection and function test: {kit.name}"
    parts = [
        f"<h1>{escape(title)}</h1>",
        block(filled),
        cautions("Before you begin"),
        "<p>All tests with the part out of the circuit, but those “with voltage”: these only with your instructor "
        "beside you. B: the meter beeps. OL: open. Write what you read; tick what is as it must be.</p>",
    ]
    for tag in wanted:
        fitted = kit.device("function_sheet", tag)
        extras = "".join(f", {extra.name}" for extra in fitted.accessories)
        tests = function_tests(fitted)
        parts.append(f"<h2>{escape(tag)} · {escape(fitted.model.name)}{escape(extras)}</h2>")
        parts.append(_contacts(tests))
        rest = [(str(t.number), t.do, t.measure or "–", t.shown, "") for t in tests if t.kind != "contact"]
        parts.append(fill_in(("", "do, or look at", "measure", "must show", "found"), rest))
    return Form(title, "\n".join(filter(None, parts)))


def _contacts(tests: tuple[FunctionTest, ...]) -> str:
    """The contacts as a chart: a row a contact, a column a position with what must show and room for what does."""
    mine = [test for test in tests if test.kind == "contact"]
    if not mine:
        return ""
    ways = list(dict.fromkeys(test.do for test in mine))
    rows = []
    for contact in dict.fromkeys(test.measure for test in mine):
        row = [contact]
        for way in ways:
            (test,) = [one for one in mine if one.measure == contact and one.do == way]
            row += ["B" if test.highest is not None else "OL", ""]
        rows.append(row)
    head = ["contact"]
    for way in ways:
        head += [way, "found"]
    return fill_in(head, rows)
