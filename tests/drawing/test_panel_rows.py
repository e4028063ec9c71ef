from rungbook import NC, NO, Device, Ladder, coil, lamp, wire
from rungbook.drawing.panel_layout import layout
from rungbook.drawing.panel_rows import WIDEST, rows
from rungbook.kit import TRAINING_KIT

from .panel_kits import apple_elevator, kit_for, wash_pump


def tags(ladder, kit=TRAINING_KIT):
    return [[[body.device for body in unit.bodies] for unit in row] for row in rows(wire(ladder, kit), 16.0)]


class TestRows:
    def test_supply_then_contactors_and_relays_then_the_door(self):
        assert tags(apple_elevator()) == [
            [[""]],
            [["Q1", "F1"], ["Q2"], ["K1"], ["K4"]],
            [["S1"], ["S2"], ["S3"], ["S6"], ["B1"], ["B2"], ["P1"], ["P2"], ["P3"]],
        ]

    def test_fuse_and_motor_starter_stand_beside_the_supply(self):
        ladder = Ladder("", [Device("F2", "fuse"), Device("Q9", "manual motor starter"), Device("P1")])
        ladder.rung(NC("F2") & NO("Q9"), lamp("P1"))
        assert tags(ladder) == [[[""], ["F2"], ["Q9"]], [["P1"]]]

    def test_an_overload_relay_hangs_below_the_contactor_whose_rung_names_it(self):
        ladder = Ladder()
        ladder.rung(NO("S1"), coil("Q1"))
        ladder.rung(NO("S2") & NC("F1"), coil("Q2"))
        assert tags(ladder)[1] == [["Q1"], ["Q2", "F1"]]

    def test_a_row_too_wide_goes_on_in_another_about_equally_long(self):
        ladder = Ladder()
        for n in range(1, 21):
            ladder.rung(NO("S1") if n == 1 else NC(f"S{n}"), lamp(f"P{n}"))
        found = rows(wire(ladder, kit_for(ladder)), 16.0)
        widths = [sum(unit.width for unit in row) for row in found]
        assert max(widths) <= WIDEST
        assert len(widths[1:]) == 5
        assert min(widths[1:]) > 0.6 * max(widths)


class TestHeights:
    def test_devices_of_a_row_end_at_one_height(self):
        plan = layout(wire(wash_pump(), TRAINING_KIT))
        door = [body.box for body in plan.bodies if body.device[:1] in ("S", "P")]
        assert len({(box[1], box[3]) for box in door}) == 1
