"""The catalogue: one record a model. All ratings are invented but plausible (`INVENTED`); a data sheet comes first.

Numbering: a contactor has 13-14 built in and takes 21-22, 31-32, 43-44, 53-54 from its auxiliary block, so that the
whole has one position digit a contact (EN 50005) and reads 13 21 31 43 53, the order of EN 50012 for three NO and two
NC contacts (from memory). Base pins of the eight-pin relay: coil 2 and 7, commons 1 and 8 (trade usage, from memory).
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from types import MappingProxyType

from rungbook.kit.models import Dial, Model, Rating, accessory, blocks
from rungbook.kit.ratings import CONTACTOR_COIL, LAMP, RELAY_COIL, TIMER_COIL

_POLES = (("1/L1", "2/T1"), ("3/L2", "4/T2"), ("5/L3", "6/T3"))
_COIL = ("A1", "A2")
#: auxiliary contacts: utilisation category AC-15 (IEC 60947-5-1).
_PILOT = (Rating("AC-15 at 120 V", 6.0, "A"), Rating("thermal current", 10.0, "A"))
_SMALL = (Rating("AC-15 at 120 V", 3.0, "A"), Rating("thermal current", 5.0, "A"))

AUXILIARY_BLOCK = "auxiliary block 2 NO + 2 NC"

MODELS: tuple[Model, ...] = (
    Model(
        "contactor",
        "contactor",
        blocks("contactor", "13-14"),
        poles=_POLES,
        supply=_COIL,
        coil=CONTACTOR_COIL,
        ratings=(Rating("AC-3 at 208 V", 9.0, "A"), *_PILOT),
    ),
    accessory(AUXILIARY_BLOCK, ("contactor",), "21-22", "31-32", "43-44", "53-54", slot="front"),
    accessory("mechanical interlock", ("contactor",), slot="side", joins=2),
    accessory("reversing link set", ("contactor",), slot="poles", joins=2),
    Model(
        "overload relay",
        "overload relay",
        blocks("overload relay", "95-96", "97-98"),
        poles=_POLES,
        dial=Dial(0.8, 4.0),
        ratings=_SMALL,
    ),
    Model(
        "manual motor starter",
        "manual motor starter",
        poles=_POLES,
        dial=Dial(1.0, 4.0),
        ratings=(Rating("short-circuit trip at highest mark", 52.0, "A"), Rating("breaking capacity", 10_000.0, "A")),
    ),
    accessory("starter auxiliary 1 NO + 1 NC", ("manual motor starter",), "13-14", "21-22", slot="front"),
    accessory("starter trip contact 1 NO", ("manual motor starter",), "97-98", slot="side"),
    Model("push button", "push button", blocks("push button", "11-12", "23-24"), ratings=_PILOT),
    accessory("button block 1 NC + 1 NO", ("push button",), "31-32", "43-44", slot="rear"),
    Model(
        "two-position selector",
        "two-position selector",
        blocks("two-position selector", "11-12", "23-24"),
        ratings=_PILOT,
    ),
    Model(
        "three-position selector",
        "three-position selector",
        blocks("three-position selector", "13-14", "23-24", "31-32", "41-42"),
        ratings=_PILOT,
    ),
    Model("emergency stop", "emergency stop", blocks("emergency stop", "11-12", "21-22"), ratings=_PILOT),
    accessory("emergency stop signal 1 NO", ("emergency stop",), "33-34", slot="rear"),
    Model("limit switch", "limit switch", blocks("limit switch", "13-14", "21-22"), ratings=_PILOT),
    Model("pilot lamp", "pilot lamp", supply=("X1", "X2"), lamp=LAMP),
    Model(
        "eight-pin control relay",
        "control relay",
        blocks("control relay", "11-12", "11-14", "21-22", "21-24"),
        supply=_COIL,
        pins={1: "11", 2: "A1", 3: "14", 4: "12", 5: "22", 6: "24", 7: "A2", 8: "21"},
        coil=RELAY_COIL,
        ratings=_SMALL,
    ),
    Model(
        "multifunction timer",
        "timer relay",
        blocks("timer relay", "15-16", "15-18", "21-22", "21-24"),
        supply=_COIL,
        more=("R1", "R2"),  # reset input, of the cumulative on-delay
        coil=TIMER_COIL,
        ratings=(Rating("shortest time", 0.05, "s"), Rating("longest time", 360_000.0, "s"), *_SMALL),
    ),
    Model(
        "counter",
        "counter",
        blocks("counter", "15-16", "15-18"),
        supply=_COIL,
        more=("R1", "R2", "D1", "D2"),  # reset input, down-count input
        coil=TIMER_COIL,
        ratings=_SMALL,
    ),
    Model(
        "control transformer",
        "control transformer",
        supply=("X1", "X2"),
        more=("H1", "H2"),
        ratings=(Rating("primary", 208.0, "V"), Rating("secondary", 120.0, "V"), Rating("power", 150.0, "VA")),
    ),
    Model("control fuse 2 A", "fuse", blocks("fuse", "1-2"), ratings=(Rating("rated current", 2.0, "A"),)),
    Model(
        "power fuses 10 A",
        "fuse",
        poles=(("1", "2"), ("3", "4"), ("5", "6")),
        ratings=(Rating("rated current", 10.0, "A"),),
    ),
    Model(
        "soft starter",
        "soft starter",
        blocks("soft starter", "13-14", "23-24", "95-96"),
        poles=_POLES,
        supply=_COIL,
        coil=TIMER_COIL,
        ratings=(Rating("rated current", 3.0, "A"), Rating("longest ramp", 20.0, "s"), *_SMALL),
    ),
    Model(
        "drive",
        "drive",
        blocks("drive", "11-12", "11-14"),
        poles=(("L1", "U"), ("L2", "V"), ("L3", "W")),
        more=("24V", "DI1", "DI2", "DI3", "AI1", "GND"),
        ratings=(Rating("rated current", 2.5, "A"), Rating("highest frequency", 120.0, "Hz"), *_SMALL),
    ),
    Model(
        "small programmable relay",
        "programmable relay",
        blocks("programmable relay", "13-14", "23-24", "33-34", "43-44"),  # its outputs: a program decides when closed
        supply=("L", "N"),
        more=("I1", "I2", "I3", "I4", "I5", "I6", "I7", "I8"),
        ratings=(Rating("power", 5.0, "VA"), *_SMALL),
    ),
    Model(
        "200 W training motor",
        "motor",
        more=("U1", "V1", "W1", "PE"),
        ratings=(
            Rating("shaft power", 200.0, "W"),
            Rating("voltage, three-phase", 208.0, "V"),
            Rating("frequency", 60.0, "Hz"),
            Rating("current", 1.24, "A"),
            Rating("speed", 1725.0, "rpm"),
            Rating("power factor", 0.68, ""),
            Rating("efficiency", 0.66, ""),
            Rating("service factor", 1.15, ""),
        ),
    ),
)


def table_of(models: Iterable[Model]) -> Mapping[str, Model]:
    """Name -> model, in order; read-only."""
    return MappingProxyType({model.name: model for model in models})


#: name -> model
CATALOGUE: Mapping[str, Model] = table_of(MODELS)
