"""Kits and ladders for pictures of the panel: what the labs build, fitted to a kit that has all of it."""

from __future__ import annotations

from dataclasses import replace
from functools import reduce

from hypothesis import strategies as st

from rungbook import NC, NO, Device, coil, lamp
from rungbook.circuit import Contact, Ladder, Parallel, Part, Series
from rungbook.kit import ALL_KINDS, CATALOGUE, TRAINING_KIT, Fitted, Kit, Model, contact_kind, fit
from rungbook.kit.models import blocks

PAIRS = ("11-12", "11-14", "21-22", "21-24", "33-34", "43-44", "51-52", "61-62", "73-74", "81-82", "93-94")


def kit_for(ladder: Ladder) -> Kit:
    """A kit with every device of `ladder`, each with one accessory that has contacts if there is one."""

    def fitted(kind: str):
        model = next(model for model in CATALOGUE.values() if model.kind == kind)
        extras = [extra.name for extra in CATALOGUE.values() if kind in extra.fits and extra.contacts]
        return fit(model.name, *extras[:1])

    return Kit("kit of the lab", {tag: fitted(device.kind) for tag, device in ladder.devices.items()})


def without_terminals(ladder: Ladder) -> Ladder:
    """A copy of `ladder` whose contacts and loads name no terminals."""

    def copy(part: Part) -> Part:
        if isinstance(part, Series | Parallel):
            return type(part)(tuple(copy(inner) for inner in part.parts))
        assert isinstance(part, Contact)
        return replace(part, terminals="")

    bare = Ladder(ladder.title, ladder.declared)
    for rung in ladder.rungs:
        ways = () if rung.contacts is None else (copy(rung.contacts),)
        bare.rung(*ways, *(replace(load, terminals="") for load in rung.loads), note=rung.note)
    return bare


def generous_for(ladder: Ladder, pairs: tuple[str, ...] = PAIRS) -> Kit:
    """A kit with every device of `ladder`, each with the contacts `pairs`, more than a real one has, and inputs."""

    def big(kind: str) -> Fitted:
        spec = ALL_KINDS[kind]
        ends = {"coil": ("A1", "A2"), "lamp": ("X1", "X2")}.get(spec.load, ())
        contacts = () if spec.load == "lamp" else blocks(kind, *pairs)
        more = ("R1", "R2", "D1", "D2") if spec.timed else ()  # reset and count-down inputs
        return Fitted(Model(f"big {kind}", kind, contacts, supply=ends, more=more))

    return Kit("generous kit", {tag: big(device.kind) for tag, device in ladder.devices.items()})


def wash_pump() -> Ladder:
    """The holding circuit with plates, colours and a lamp: ten wires."""
    panel = [
        Device("S1", "push button", "red", "stop"),
        Device("S2", "push button", "green", "start"),
        Device("F1", label="pump motor"),
        Device("Q1", label="wash pump"),
        Device("P1", label="wash pump runs"),
    ]
    ladder = Ladder("Wash pump", panel)
    ladder.rung(NC("S1") & (NO("S2") | NO("Q1")) & NC("F1"), coil("Q1"))
    ladder.rung(NO("Q1"), lamp("P1", "green"))
    return ladder


def apple_elevator() -> Ladder:
    """Reversing with emergency stop, limit switches, a relay, a timer and three lamps: 35 wires."""
    panel = [
        Device("S6", "emergency stop", "red", "emergency stop"),
        Device("S1", "push button", "red", "stop"),
        Device("S2", "push button", "black", "up"),
        Device("S3", "push button", "black", "down"),
        Device("Q1", label="elevator up"),
        Device("Q2", label="elevator down"),
        Device("F1"),
        Device("B1", label="upper end"),
        Device("B2", label="lower end"),
        Device("P1", label="up"),
        Device("P2", label="down"),
        Device("P3", label="overload tripped"),
        Device("K1"),
        Device("K4", "timer relay", setting="on-delay 5 s"),
    ]
    ladder = Ladder("Apple elevator", panel)
    ladder.rung(NC("S6") & NC("S1") & NC("F1"), coil("K1"))
    ladder.rung(NO("K1") & (NO("S2") | NO("Q1")) & NC("S3") & NC("Q2") & NC("B1"), coil("Q1"))
    ladder.rung(NO("K1") & (NO("S3") | NO("Q2")) & NC("S2") & NC("Q1") & NC("B2"), coil("Q2"))
    ladder.rung(NO("Q1"), lamp("P1", "green"))
    ladder.rung(NO("Q2"), lamp("P2", "green"))
    ladder.rung(NO("F1"), coil("K4"))
    ladder.rung(NO("K4", "15-18"), lamp("P3", "red"))
    return ladder


_SETTINGS = {"K4": "on-delay 5 s", "K5": "up 3"}
_OTHER = ("M", "T")  # letters without a contact or load in a control circuit
_LEFT_OUT = ("K6", "Q10")


@st.composite
def kit_ladders(draw: st.DrawFn) -> Ladder:
    """A ladder that the training kit can carry: every contact of it stands at most once, of a changeover one."""
    kit = {tag: one for tag, one in TRAINING_KIT.devices.items() if tag[0] not in _OTHER and tag not in _LEFT_OUT}
    panel = [Device(tag, one.model.kind, setting=_SETTINGS.get(tag, "")) for tag, one in kit.items()]
    loads = draw(st.lists(st.sampled_from([tag for tag in kit if kit[tag].load]), min_size=1, max_size=7, unique=True))
    pool: dict[tuple[str, str], Contact] = {}
    for tag, one in kit.items():
        for block in one.contacts:
            if not one.load or tag in loads:
                named = block.terminals if contact_kind(block.terminals) else ""
                pool.setdefault((tag, block.ends[0]), Contact(tag, block.kind, named))
    chosen = draw(st.lists(st.sampled_from(list(pool.values())), max_size=14, unique=True))
    ladder = Ladder("Filling line", panel)
    for n, tag in enumerate(loads):
        own = chosen[n :: len(loads)]
        way = (reduce(lambda a, b: a & b if draw(st.booleans()) else a | b, own),) if own else ()
        ladder.rung(*way, coil(tag) if kit[tag].load == "coil" else lamp(tag))
    return ladder
