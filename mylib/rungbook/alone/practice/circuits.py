"""A plan as a ladder, as sentences that ask for it, and as rules that hold of it."""

from __future__ import annotations

from functools import reduce
from operator import and_, or_

from rungbook.alone.practice.plans import Drive, Plan
from rungbook.circuit import NC, NO, Ladder, coil, lamp
from rungbook.circuit.parts import Part
from rungbook.kit import Device
from rungbook.proof import Rule, does_not_start, follows, holds_in, never_together, off_while, pulls_in

_LENS = {  # IEC 60073: green normal, yellow abnormal, white neutral
    "running": "green",
    "tripped": "yellow",
    "standing": "white",
    "ready": "green",
    "in place": "white",
}
_KIND = {"B": "limit switch", "F": "overload relay", "K": "control relay", "Q": "contactor", "P": "pilot lamp"}


def panel_of(plan: Plan) -> tuple[Device, ...]:
    """The devices of the panel, with their plates."""
    colours = {"start": "green", "stop": "red"} | _LENS
    made = []
    for tag, plate in plan.plates:
        kind = _KIND.get(tag[0], "push button")
        colour = colours.get(plate, "") if tag[0] in "SP" else ""
        made.append(Device(tag, kind, colour, plate))
    return (*made, *([Device(plan.relay, label="memory")] if plan.relay else []))


def ladder_of(plan: Plan) -> Ladder:
    """The ladder that does what the plan says."""
    first = plan.drives[0]
    ladder = Ladder(first.name.capitalize(), panel_of(plan))
    memory = plan.relay or first.coil
    way = _way(first, memory)
    if plan.tie == "lock":
        other = plan.drives[1]
        way = reduce(and_, [NC(tag) for tag in (*other.buttons, other.coil)], way)
    ladder.rung(way, coil(memory))
    if plan.relay:
        ladder.rung(NO(plan.relay), coil(first.coil))
    if len(plan.drives) == 2:
        second = plan.drives[1]
        if plan.tie == "with":
            ways: list[Part] = [NO(first.coil), *([NC(second.trip)] if second.trip else [])]
            ladder.rung(reduce(and_, ways), coil(second.coil))
        elif plan.tie == "after":
            ladder.rung(NO(first.coil) & _way(second, second.coil), coil(second.coil))
        else:
            crossed = [NC(tag) for tag in (*first.buttons, first.coil)]
            ladder.rung(reduce(and_, crossed, _way(second, second.coil)), coil(second.coil))
    for tag, tells in plan.lamps:
        ladder.rung(_lights(first, tells), lamp(tag, _LENS[tells]))
    return ladder


def _lights(drive: Drive, tells: str) -> Part:
    """The way to a lamp that tells a word of `LAMPS`."""
    if tells in ("running", "standing"):
        return NO(drive.coil) if tells == "running" else NC(drive.coil)
    if tells == "tripped":
        return NO(drive.trip)
    guards: list[Part] = [NO(tag) if reached else NC(tag) for tag, reached in drive.guards]
    return reduce(and_, guards, NC(drive.trip)) if tells == "ready" else reduce(and_, guards)


def _way(drive: Drive, memory: str) -> Part:
    groups: list[Part] = [reduce(and_, [NO(tag) for tag in group]) for group in drive.starts]
    begin = reduce(or_, groups)
    ways: list[Part] = [NC(tag) for tag in drive.stops]
    ways.append(begin | NO(memory) if drive.kept else begin)
    ways += [NO(tag) if reached else NC(tag) for tag, reached in drive.guards]
    ways += [NC(drive.trip)] if drive.trip else []
    return reduce(and_, ways)


def sentences_of(plan: Plan) -> list[str]:
    """What is asked, a sentence each."""
    first = plan.drives[0]
    told = _about(first)
    if len(plan.drives) == 2:
        second = plan.drives[1]
        if plan.tie == "with":
            told.append(f"{second.coil} ({second.name}) is in exactly while {first.coil} is in{_unless(second)}.")
        else:
            told += _about(second)
        if plan.tie == "after":
            told.append(f"{second.coil} is in only while {first.coil} is in.")
        if plan.tie == "lock":
            told.append(
                f"{first.coil} and {second.coil} are never in together. While a start button of the one is pressed, "
                "the other is out."
            )
    words = {
        "running": f"{first.coil} is in",
        "tripped": f"{first.trip} is tripped",
        "standing": f"{first.coil} is out",
    }
    words["in place"] = " and ".join(f"{tag} is {_word(reached)}" for tag, reached in first.guards)
    words["ready"] = f"{words['in place']} and {first.trip} is not tripped"
    told += [f"{tag} ({_LENS[tells]}) is lit exactly while {words[tells]}." for tag, tells in plan.lamps]
    if plan.relay:
        told.append(f"Control relay {plan.relay} remembers the start; {first.coil} follows it.")
    return told


def _about(drive: Drive) -> list[str]:
    name = f"{drive.coil} ({drive.name})"
    press = "while " + ", or ".join(
        f"{group[0]} is pressed" if len(group) == 1 else f"{' and '.join(group)} are pressed together"
        for group in drive.starts
    )
    if drive.kept:
        told = [f"{name} is in {press}, and holds in when let go. Once out, it waits for the next start."]
    else:
        told = [f"{name} is in only {press}."]
    told += [f"{_listed(drive.stops, 'or')}, pressed, makes it drop out, start or no start."] if drive.stops else []
    for tag, reached in drive.guards:
        told.append(f"{drive.coil} is in only while {tag} is {_word(reached)}.")
    told += [f"{drive.trip}, tripped, makes {drive.coil} drop out, start or no start."] if drive.trip else []
    return told


def _word(reached: bool) -> str:
    return "reached" if reached else "free"


def _unless(drive: Drive) -> str:
    return f" and {drive.trip} is not tripped" if drive.trip else ""


def _listed(tags: tuple[str, ...], word: str) -> str:
    return tags[0] if len(tags) == 1 else f"{', '.join(tags[:-1])} {word} {tags[-1]}"


def rules_of(plan: Plan) -> list[tuple[Rule, str]]:
    """Rules that may hold of the plan, with where to look; whether they do and are tested is for the proof to say."""
    first = plan.drives[0]
    found: list[tuple[Rule, str]] = []
    if len(first.starts[0]) == 1:
        button = first.starts[0][0]
        found.append((pulls_in(first.coil, when=f"press {button}"), "which contacts on the way are closed at rest"))
        if first.kept:
            look = "what closes when the coil pulls in, and where it stands"
            found.append((holds_in(first.coil, after=f"let {button} go"), look))
    for drive in plan.drives:
        name = drive.coil
        found += [(off_while(name, tag, "pressed"), f"whether every way to {name} passes {tag}") for tag in drive.stops]
        if drive.trip:
            found.append((off_while(name, drive.trip, "tripped"), f"whether every way to {name} passes {drive.trip}"))
        for tag, reached in drive.guards:
            word = _word(not reached)
            found.append((off_while(name, tag, word), f"whether every way to {name} passes {tag}"))
    if plan.tie == "lock":
        found.append((never_together(first.coil, plan.drives[1].coil), "which contact of each stands before the other"))
    if first.kept:
        found.append((does_not_start(first.coil, by="switch the supply on"), "what keeps a way closed with no supply"))
    for tag, tells in plan.lamps:
        if tells == "running":
            found.append((follows(tag, first.coil, "in"), f"from which device {tag} takes its contact"))
    return found
