"""Which parts of a box stand on the panel for a ladder: designations of the ladder, parts by their kind.

A kit names its parts, a ladder names its devices; a lab's S3 may be any push button of the box. `arrange` puts parts on
the panel under the ladder's designations, so that `wire` can do its work.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass

from rungbook.circuit.allocate import carries, check_part, contacts_on
from rungbook.circuit.ladder import Ladder
from rungbook.circuit.sharing import as_drawn, plans
from rungbook.circuit.wires import Wired
from rungbook.errors import LadderError
from rungbook.kit import CATALOGUE, Fitted, Kit, Model


@dataclass(frozen=True)
class Arrangement:
    """Parts of a box on the panel. panel: a kit under the ladder's designations. taken: designation -> part of the box.

    extra: (designation, model) of what the box lacks and the panel has all the same: parts and accessories to be added.
    """

    panel: Kit
    taken: dict[str, str]
    extra: tuple[tuple[str, str], ...]


def arrange(ladder: Ladder, box: Kit) -> Arrangement:
    """Return an `Arrangement` that can carry `ladder`.

    A part with the same designation is taken before others, a part that has the contacts before one that needs another
    accessory. Where the box is short of contacts, rungs share some (`sharing`) before anything is added to it.
    Raises LadderError if either is none, or no part of the catalogue has the contacts that a device needs.
    """
    if not isinstance(ladder, Ladder):
        raise LadderError("arrange", "puts the parts of a Ladder on the panel", ladder, ("Ladder('title')",))
    if not isinstance(box, Kit):
        raise LadderError("arrange", "takes the parts from a Kit", box, ("TRAINING_KIT",))
    ladder.validate()
    drawn = as_drawn(ladder)
    best: Arrangement | None = None
    problem: LadderError | None = None
    try:
        best = _put(ladder, drawn.items, box)
    except LadderError as error:
        problem = error
    kinds = Counter(device.kind for device in ladder.devices.values())
    there = Counter(fitted.model.kind for fitted in box.devices.values())
    least = (kinds - there).total()  # parts that no plan can do without
    if best is not None and len(best.extra) == least:
        return best
    short = [
        tag
        for tag, device in ladder.devices.items()
        if not any(
            carries(drawn.items, tag, _bare(one)) for one in box.devices.values() if one.model.kind == device.kind
        )
    ]
    short += [tag for tag, _ in best.extra if tag not in short] if best is not None else []
    for plan in plans(ladder, short):
        try:
            found = _put(ladder, plan.items, box)
        except LadderError:
            continue
        if best is None or len(found.extra) < len(best.extra):
            best = found
            if len(best.extra) == least:
                break
    if best is None:
        assert problem is not None
        raise problem
    return best


def _put(ladder: Ladder, items: Sequence[Wired], box: Kit) -> Arrangement:
    """Put parts on the panel that have the contacts of `items`. Raises LadderError as `arrange`."""
    free = dict(box.devices)
    panel: dict[str, Fitted] = {}
    taken: dict[str, str] = {}
    extra: list[tuple[str, str]] = []
    for tag in sorted(ladder.devices, key=lambda tag: tag not in free):
        kind = ladder.devices[tag].kind
        alike = [name for name, fitted in free.items() if fitted.model.kind == kind]
        alike.sort(key=lambda name: name != tag)
        models = [model for model in CATALOGUE.values() if model.kind == kind]
        choices: list[tuple[str, Fitted, tuple[Model, ...]]] = [(name, _bare(free[name]), ()) for name in alike]
        choices += [(name, *_more(_bare(free[name]), add)) for name in alike for add in free[name].could_carry()]
        choices += [("", Fitted(model), (model,)) for model in models]
        for model in models:
            choices += [("", _with(Fitted(model), add), (model, add)) for add in Fitted(model).could_carry()]
        found = next((one for one in choices if _suits(ladder, items, tag, one[1])), None)
        if found is None:
            check_part(ladder, tag, choices[0][1], box.name)
            contacts_on(items, tag, choices[0][1])  # says what is short
            raise LadderError(f"arrange {ladder.title!r}", f"no part of the catalogue has the contacts of {tag}", tag)
        name, panel[tag], added = found
        extra += [(tag, model.name) for model in added]
        if name:
            taken[tag] = name
            del free[name]
    ordered = {tag: panel[tag] for tag in ladder.devices}
    return Arrangement(Kit(box.name, ordered), taken, tuple(extra))


def _bare(fitted: Fitted) -> Fitted:
    """The part without accessories that sit on two devices: they bring no contacts, their partner may be elsewhere."""
    return Fitted(fitted.model, tuple(extra for extra in fitted.accessories if extra.joins == 1))


def _with(fitted: Fitted, extra: Model) -> Fitted:
    return Fitted(fitted.model, (*fitted.accessories, extra))


def _more(fitted: Fitted, extra: Model) -> tuple[Fitted, tuple[Model, ...]]:
    return _with(fitted, extra), (extra,)


def _suits(ladder: Ladder, items: Sequence[Wired], tag: str, fitted: Fitted) -> bool:
    """True if `fitted` is of the kind of `tag`, its dial reaches the setting, and it has the contacts."""
    try:
        check_part(ladder, tag, fitted, "")
    except LadderError:
        return False
    return carries(items, tag, fitted)
