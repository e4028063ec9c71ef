from rungbook import NC, NO, Ladder, coil, wire
from rungbook.drawing.panel_describe import describe, step_words
from rungbook.drawing.panel_layout import layout
from rungbook.kit import TRAINING_KIT

from .panel_kits import wash_pump


def words(wiring, step=None):
    return describe(wiring, layout(wiring), step).split("\n")


class TestWhole:
    def test_devices_by_row_then_wires_in_the_order_of_work(self):
        ladder = Ladder("Cellar fan")
        ladder.rung(NO("S1") & NC("F1"), coil("Q1"))
        assert words(wire(ladder, TRAINING_KIT)) == [
            "Connections of 'Cellar fan' on the training kit, seen from the front: 4 wires. De-energise, lock out and "
            "verify absence of voltage before you touch a terminal; work under qualified supervision; local codes and "
            "the data sheets of the parts come first.",
            "Row 1 from the top, from the left:",
            "Control supply: wired at its lower edge X1, X2.",
            "Row 2 from the top, from the left:",
            "Q1, contactor: wired at its upper edge A1, A2.",
            "F1, overload relay, below Q1: wired at its lower edge 95, 96.",
            "Row 3 from the top, from the left:",
            "S1, push button: wired at its upper edge 23; at its lower edge 24.",
            "Wire 1 of 4: from supply X1 to S1 23, wire number 1, red.",
            "Wire 2 of 4: from S1 24 to F1 95, wire number 3, red.",
            "Wire 3 of 4: from F1 96 to Q1 A1, wire number 4, red.",
            "Wire 4 of 4: from supply X2 to Q1 A2, wire number 2, white.",
        ]

    def test_every_wire_of_the_list_is_told_with_both_ends(self):
        wiring = wire(wash_pump(), TRAINING_KIT)
        told = words(wiring)[-len(wiring.wires) :]
        for one, line in zip(wiring.wires, told, strict=True):
            start, end = (name.replace(":", " ") if ":" in name else f"supply {name}" for name in (one.start, one.end))
            assert f"from {start} to {end}, wire number {one.number}," in line


class TestStep:
    def test_first_and_last_step_say_so(self):
        plan = layout(wire(wash_pump(), TRAINING_KIT))
        assert step_words(plan, 1) == "Wire 1 is being pulled; no wire is in place yet, 9 wires to come."
        assert step_words(plan, 2) == "Wire 2 is being pulled; wire 1 is in place, 8 wires to come."
        assert step_words(plan, 10) == "Wire 10 is being pulled; wires 1 to 9 are in place, this is the last one."

    def test_later_wires_are_not_told(self):
        assert words(wire(wash_pump(), TRAINING_KIT), 3)[-1].startswith("Wire 3 of 10")
