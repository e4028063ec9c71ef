import pytest

from hunting import fault_of, wash_pump
from rungbook import LadderError
from rungbook.circuit.power import direct
from rungbook.proof.hunt import Case
from rungbook.proof.hunt.case import KEPT, _kept


class TestWhatIsKnown:
    def test_of_an_equal_circuit_is_worked_out_once(self):
        one, other = Case(wash_pump(), "lab07"), Case(wash_pump(), "lab10")
        assert one.evidence is other.evidence
        assert one.claims is other.claims

    def test_of_another_circuit_is_not_that_of_this_one(self):
        other = wash_pump()
        other.title = "Other pump"
        cases = [Case(wash_pump()), Case(other), Case(wash_pump(), built=True), Case(wash_pump(), power=direct("Pump"))]
        assert len({id(case.evidence) for case in cases}) == 4
        assert len(cases[2].evidence.classes) == 93
        assert cases[3].evidence.sound.seen() == "Q1 out, P1 dark, M1 stands still"

    def test_of_chosen_suspects_is_of_them_alone(self):
        every = Case(wash_pump())
        few = [fault_of(every, "Q1", "coil is open"), fault_of(every, "P1", "lamp is burnt out")]
        case = Case(wash_pump(), faults=few)
        assert [group[0].sentence for group in case.evidence.classes] == [fault.sentence for fault in few]
        assert len(Case(wash_pump()).evidence.classes) == 32

    def test_does_not_change_with_a_power_circuit_that_is_built_on(self):
        power = direct("Pump")
        Case(wash_pump(), power=power)
        power.motor("M2", ("U1", "V1", "W1"))
        assert Case(wash_pump(), power=power).evidence.sound.seen().endswith("M2 stands still")
        assert Case(wash_pump(), power=direct("Pump")).evidence.sound.seen().endswith("M1 stands still")

    def test_of_few_circuits_is_kept(self):
        for number in range(KEPT + 3):
            ladder = wash_pump()
            ladder.title = f"Pump {number}"
            Case(ladder)
        assert [known.board.title for known in _kept] == [f"Pump {number}" for number in range(3, KEPT + 3)]

    def test_a_fault_that_is_no_suspect_is_refused(self):
        shorted = fault_of(Case(wash_pump(), built=True), "Q1", "coil is one for 240 V")
        with pytest.raises(LadderError, match="no such fault among the suspects"):
            Case(wash_pump(), faults=[shorted])
