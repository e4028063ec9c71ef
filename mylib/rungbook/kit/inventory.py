"""A kit: which models stand on the panel under which designation, and the accessories fitted to them."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from types import MappingProxyType

from rungbook.errors import LadderError
from rungbook.kit.catalogue import AUXILIARY_BLOCK, CATALOGUE
from rungbook.kit.device import check_tag
from rungbook.kit.kinds import ALL_KINDS
from rungbook.kit.models import ContactBlock, Model, check_blocks


@dataclass(frozen=True)
class Fitted:
    """A device of the kit: its model and what is fitted to it. Both as records; `fit` takes names.

    Raises LadderError if the model is an accessory, an accessory does not fit it, two take one place, or their
    contacts have the same terminals.
    """

    model: Model
    accessories: tuple[Model, ...] = ()

    def __post_init__(self) -> None:
        thing = f"Fitted {self.model.name!r}"
        if not self.model.kind:
            raise LadderError(thing, "an accessory is fitted to a device and is none itself", self.model.name)
        for place, extra in enumerate(self.accessories):
            if self.model.kind not in extra.fits:
                raise LadderError(thing, f"no {extra.name} fits a {self.model.kind}", extra.name, extra.fits)
            for other in self.accessories[:place]:
                if other.slot == extra.slot:
                    rule = f"{other.name} and {extra.name} take the same place ({extra.slot})"
                    raise LadderError(thing, rule, extra.name)
        check_blocks(thing, self.contacts)

    @property
    def contacts(self) -> tuple[ContactBlock, ...]:
        """All contacts, those of the device first, then accessory by accessory."""
        extras = (block for extra in self.accessories for block in extra.contacts_on(self.model.kind))
        return (*self.model.contacts, *extras)

    @property
    def terminals(self) -> tuple[str, ...]:
        """All terminals in wiring order, those of the accessories last."""
        extras = (end for extra in self.accessories for end in extra.terminals)
        return tuple(dict.fromkeys((*self.model.terminals, *extras)))

    @property
    def load(self) -> str:
        """ "coil", "lamp" or "": the load of a control circuit that this device is."""
        return ALL_KINDS[self.model.kind].load

    def could_carry(self) -> tuple[Model, ...]:
        """The accessories of the catalogue for which this device has a free place, with terminals that it lacks."""
        taken = {extra.slot for extra in self.accessories}
        free = (m for m in CATALOGUE.values() if self.model.kind in m.fits and m.slot not in taken)
        return tuple(m for m in free if not set(m.terminals) & set(self.terminals))


def fit(model: str, *accessories: str) -> Fitted:
    """The catalogue's `model` with `accessories` fitted to it, by their names.

    Raises LadderError if the catalogue has no such model (those it has are listed), or as `Fitted`.
    """
    found = []
    for name in (model, *accessories):
        if not isinstance(name, str) or name not in CATALOGUE:
            raise LadderError("fit", "no such model in the catalogue", name, tuple(CATALOGUE))
        found.append(CATALOGUE[name])
    return Fitted(found[0], tuple(found[1:]))


@dataclass(frozen=True)
class Kit:
    """What stands on the panel: `name`, and `devices`: designation -> model with accessories.

    Raises LadderError if a designation is malformed or has another letter than its model's kind, or an accessory that
    sits on two devices is fitted to an odd number of them.
    """

    name: str
    devices: Mapping[str, Fitted] = field(hash=False)

    def __post_init__(self) -> None:
        object.__setattr__(self, "devices", MappingProxyType(dict(self.devices)))
        joining: dict[Model, list[str]] = {}
        for tag, fitted in self.devices.items():
            thing = f"Kit {self.name!r}, {tag}"
            check_tag(thing, tag)
            letter = ALL_KINDS[fitted.model.kind].letter
            if tag[0] != letter:
                raise LadderError(thing, f"a {fitted.model.kind} has the letter {letter} (IEC 81346-2)", tag)
            for extra in fitted.accessories:
                if extra.joins > 1:
                    joining.setdefault(extra, []).append(tag)
        for extra, tags in joining.items():
            if len(tags) % extra.joins:
                rule = f"a {extra.name} sits on {extra.joins} devices; name it on each of them"
                raise LadderError(f"Kit {self.name!r}", rule, ", ".join(tags))

    def device(self, thing: str, tag: str) -> Fitted:
        """The device `tag`. Raises LadderError, speaking of `thing`, if the kit has none of that name."""
        if tag not in self.devices:
            raise LadderError(thing, f"no device {tag} in the kit {self.name!r}", tag, tuple(self.devices))
        return self.devices[tag]


_REVERSING = fit("contactor", AUXILIARY_BLOCK, "mechanical interlock", "reversing link set")

#: The box of the course.
TRAINING_KIT = Kit(
    "training kit",
    {
        **{f"S{n}": fit("push button") for n in (1, 2, 3, 4)},
        "S5": fit("three-position selector"),
        "S6": fit("emergency stop"),
        "S7": fit("two-position selector"),
        "S8": fit("two-position selector"),
        "B1": fit("limit switch"),
        "B2": fit("limit switch"),
        "F1": fit("overload relay"),
        "F2": fit("control fuse 2 A"),
        "F3": fit("power fuses 10 A"),
        "Q1": _REVERSING,
        "Q2": _REVERSING,
        "Q3": fit("contactor"),
        "Q9": fit("manual motor starter", "starter auxiliary 1 NO + 1 NC"),
        "Q10": fit("soft starter"),
        **{f"K{n}": fit("eight-pin control relay") for n in (1, 2, 3)},
        "K4": fit("multifunction timer"),
        "K5": fit("counter"),
        "K6": fit("small programmable relay"),
        **{f"P{n}": fit("pilot lamp") for n in (1, 2, 3, 4, 5)},
        "T1": fit("control transformer"),
        "T2": fit("drive"),
        "M1": fit("200 W training motor"),
    },
)
