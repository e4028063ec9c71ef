"""Draw the README's picture anew: python tests/make_readme_picture.py."""

from pathlib import Path

from rungbook import NC, NO, Device, Ladder, coil, draw, lamp
from rungbook.drawing import Picture

PICTURE = Path(__file__).parents[1] / "course" / "holding-circuit.svg"


def picture() -> Picture:
    panel = [
        Device("S1", "push button", "red", "stop"),
        Device("S2", "push button", "green", "start"),
        Device("F1", "overload relay", label="pump motor"),
        Device("Q1", "contactor", label="wash pump"),
        Device("P1", "pilot lamp", "green", "running"),
    ]
    pump = Ladder("Wash pump", panel)
    held = NO("S2", "13-14") | NO("Q1", "13-14")
    pump.rung(NC("S1", "21-22") & held & NC("F1", "95-96"), coil("Q1", "A1-A2"))
    pump.rung(NO("Q1", "23-24"), lamp("P1", "green", "X1-X2"))
    return draw(pump)


if __name__ == "__main__":
    picture().save(PICTURE)
