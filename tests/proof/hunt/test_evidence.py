import time
from dataclasses import replace

import pytest

from hunting import fault_of, wash_case
from rungbook import NC, NO, Device, Ladder, LadderError, coil
from rungbook.behaviour import Board
from rungbook.proof.hunt import Case, Rig, account, best_hunt, stages


def members(*names):
    return {fault_of(wash_case(), *name).sentence for name in names}


class TestStages:
    def test_of_the_wash_pump(self):
        case = wash_case()
        assert [stage.told for stage in stages(Rig(case.board, case.leads))] == [
            "at rest",
            "press S1",
            "press S2",
            "trip F1",
            "press S1, let S1 go",
            "press S2, let S2 go",
            "trip F1, reset F1",
            "press S2, let S2 go, press S1",
            "press S2, let S2 go, press S2",
            "press S2, let S2 go, trip F1",
            "switch the supply off",
            "switch the supply off, press S1",
            "switch the supply off, press S2",
            "switch the supply off, trip F1",
        ]


class TestClasses:
    @pytest.mark.parametrize(
        "names",
        [
            [("S1", "contact 11-12 stays open"), ("S1", "stays pressed")],
            [("F1", "contact 95-96 stays open"), ("F1", "stays tripped")],
            [("S2", "contact 13-14 stays closed"), ("Q1", "contact 13-14 stays closed"), ("S2", "stays pressed")],
            [("Q1", "coil is shorted"), ("wire 5", "touches ground")],  # half an ohm and none read the same
            [("Q1", "contact 13-14 stays open")],
            [("supply", "fuse is blown")],
            [("supply", "wire at X1 is open")],
        ],
    )
    def test_faults_that_nothing_tells_apart_stand_together(self, names):
        evidence = wash_case().evidence
        group = evidence.classes[evidence.class_of(fault_of(wash_case(), *names[0]))]
        assert {fault.sentence for fault in group} == members(*names)

    def test_there_are_32_of_them_and_nothing_is_left_out(self):
        evidence = wash_case().evidence
        assert (len(evidence.classes), evidence.left_out) == (32, ())

    def test_a_fault_without_effect_in_the_stated_set_is_left_out(self):
        ladder = Ladder("Apple elevator")
        ladder.rung(NO("S2"), coil("Q1"))
        ladder.rung(NO("S3"), coil("Q2"))
        board = replace(Board.of(ladder), mechanical_interlock=(("Q1", "Q2"),))
        left_out = Case(board).evidence.left_out  # it would show with both buttons pressed, and one is at most
        assert [fault.kind for fault in left_out] == ["broken interlock"]

    def test_a_fault_with_which_relays_chatter_is_left_out(self):
        ladder = Ladder("Bell")
        ladder.rung(NO("S1") & NC("K1") & NO("S2"), coil("K1"))
        ladder.rung(NO("S3"), coil("Q1"))
        case = Case(ladder)
        assert "the contact NO S2 at wires 4–5 is welded" in [fault.sentence for fault in case.evidence.left_out]
        with pytest.raises(LadderError, match="cannot be found in the stated set"):
            case.token(next(f for f in case.faults if f.sentence == "the contact NO S2 at wires 4–5 is welded"))

    def test_looking_alone_divides_them_into_symptoms(self):
        evidence = wash_case().evidence
        like = evidence.like(fault_of(wash_case(), "Q1", "coil is open"))  # "it does not start"
        assert like.bit_count() == 19
        assert sorted(part.bit_count() for part in evidence.symptoms) == [1, 1, 1, 1, 1, 3, 5, 19]

    def test_a_board_that_works_in_time_is_refused(self):
        ladder = Ladder("Mill", [Device("K1", "timer relay", setting="on-delay 5 s"), Device("S1")])
        ladder.rung(NO("S1"), coil("K1"))
        with pytest.raises(LadderError, match="works in time"):
            _ = Case(ladder).evidence

    def test_a_hunt_needs_a_fault(self):
        with pytest.raises(LadderError, match="at least one fault"):
            _ = Case(wash_case().board, faults=()).evidence


class TestStrategy:
    @pytest.mark.parametrize("number", range(32))
    def test_it_finds_every_fault_of_the_wash_pump_in_no_more_readings_than_claimed(self, number):
        evidence = wash_case().evidence
        fault = evidence.classes[number][0]
        hunt = best_hunt(evidence, fault)
        shown = account(evidence, hunt.rows, advice=False)
        assert shown.remaining == 1 << number
        assert shown.used <= evidence.cost(evidence.like(fault)).worst <= 4
        assert (shown.live, shown.unproved) == ((), ())

    def test_some_fault_of_those_that_do_not_start_needs_all_4(self):
        evidence = wash_case().evidence
        like = evidence.like(fault_of(wash_case(), "Q1", "coil is open"))
        groups = [group for k, group in enumerate(evidence.classes) if like >> k & 1]
        assert max(best_hunt(evidence, group[0]).used for group in groups) == 4

    def test_the_next_reading_of_60_suspects_and_150_readings_is_found_in_less_than_a_second(self):
        ladder = Ladder("Apple elevator")
        ladder.rung(NC("S1") & (NO("S2") | NO("Q1")) & NC("S3") & NC("Q2") & NC("F1"), coil("Q1"))
        ladder.rung(NC("S1") & (NO("S3") | NO("Q2")) & NC("S2") & NC("Q1"), coil("Q2"))
        evidence = Case(ladder).evidence
        assert len(evidence.classes) >= 60
        assert len(evidence.probes) >= 150
        start = time.perf_counter()
        assert evidence.next_reading(evidence.every).bits > 1
        assert time.perf_counter() - start < 1
