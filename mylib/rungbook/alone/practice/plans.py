"""What the control of a machine has, as plain data, and plans drawn for a level."""

from __future__ import annotations

from dataclasses import dataclass

from rungbook.alone.practice.draws import Draws

MACHINES = ("wash pump", "mill", "press pump", "vat agitator", "filling line", "cellar fan")
REACHED = ("vat lid closed", "belt guard closed", "door closed")  # what must be so
FREE = ("tank full", "trough full", "chute blocked")  # what must not be so
LAMPS = ("running", "tripped", "standing", "ready", "in place")
_MOST = {  # level -> most starts, stops, guards, lamps; a second machine may be there
    1: (3, 1, 2, 2, False),
    2: (3, 2, 2, 2, False),
    3: (3, 2, 2, 3, True),
    4: (3, 3, 2, 2, True),
    5: (3, 3, 2, 3, True),
}


@dataclass(frozen=True)
class Drive:
    """A machine's own part of a control. coil: its contactor. starts: groups of buttons; those of one group are pressed
    together, any group starts. stops: buttons. kept: it goes on when a start is let go. trip: its overload relay, "".
    guards: (limit switch, True if it must be reached)."""

    name: str
    coil: str
    starts: tuple[tuple[str, ...], ...]
    kept: bool
    stops: tuple[str, ...]
    trip: str
    guards: tuple[tuple[str, bool], ...]

    @property
    def buttons(self) -> tuple[str, ...]:
        """All start buttons."""
        return tuple(tag for group in self.starts for tag in group)


@dataclass(frozen=True)
class Plan:
    """One or two drives. tie: of two, "after" (the second runs only while the first does), "with" (it follows the
    first), "lock" (never together, each start stops the other), "". lamps: (lamp, what it tells of the first drive: a
    word of `LAMPS`).
    relay: a control relay that remembers in place of the first contactor, "". plates: designation -> name."""

    drives: tuple[Drive, ...]
    tie: str
    lamps: tuple[tuple[str, str], ...]
    relay: str
    plates: tuple[tuple[str, str], ...]


def draw_plan(draws: Draws, level: int) -> Plan:
    """Draw a plan that suits `level` (1 to 5) roughly; how hard it is is measured afterwards."""
    starts, stops, guards, lamps, second = _MOST[level]
    buttons = iter(f"S{n}" for n in sorted(draws.some(range(1, 15), 14)))
    first = draws.below(3)
    for _ in range(first):  # designations do not always begin with S1
        next(buttons)
    offset = draws.below(3)
    coils = iter(f"Q{n + offset}" for n in range(1, 4))
    trips = iter(f"F{n + offset}" for n in range(1, 4))
    switches = iter(f"B{n + draws.below(2)}" for n in (1, 3, 5, 7))
    names = draws.some(MACHINES, 2)
    told = {True: iter(draws.some(REACHED, 3)), False: iter(draws.some(FREE, 3))}
    plates: dict[str, str] = {}
    tie = draws.pick(("", "after", "with", "lock")) if second else ""
    drives = []
    for number in range(2 if tie else 1):
        small = number == 1
        led = small and tie == "with"  # it has no buttons of its own
        kept = small or level > 1 or draws.below(2) == 0
        sizes = [1] * (not led) if small else [1 + (draws.below(3) == 0) for _ in range(1 + draws.below(starts))]
        begin = tuple(tuple(next(buttons) for _ in range(size)) for size in sizes)
        end = tuple(next(buttons) for _ in range(int(not led) if small else (1 + draws.below(stops)) * kept))
        seen = tuple((next(switches), bool(draws.below(2))) for _ in range(0 if small else draws.below(guards + 1)))
        trip = next(trips) if draws.below(4) else ""
        drive = Drive(names[number], next(coils), begin, kept, end, trip, seen)
        drives.append(drive)
        plates |= dict.fromkeys(drive.buttons, "start") | dict.fromkeys(end, "stop") | {drive.coil: drive.name}
        plates |= {switch: next(told[reached]) for switch, reached in seen} | (
            {trip: f"{drive.name} motor"} if trip else {}
        )
    lacks = {"tripped": not drives[0].trip, "in place": not drives[0].guards}
    lacks["ready"] = lacks["tripped"] or lacks["in place"]
    tells = [word for word in LAMPS if not lacks.get(word)]
    chosen = draws.some(tells, min(len(tells), draws.below(lamps + 1)))
    lights = tuple((f"P{n + offset}", word) for n, word in enumerate(chosen, 1))
    plates |= dict(lights)
    relay = "K1" if level >= 3 and drives[0].kept and tie in ("", "after") and draws.below(3) == 0 else ""
    return Plan(tuple(drives), tie, lights, relay, tuple(plates.items()))
