import pytest

from hunting import fault_of, faulty, wash_case
from rungbook.proof.hunt import Search, account


def acts(device, words, *done):
    """The account of acts on the board with a fault: orders, or (quantity, lead, lead)."""
    search = Search(faulty(device, words))
    for one in done:
        if isinstance(one, str):
            search.act("do", one)
        else:
            search.act(one[0], leads=one[1:])
    return account(wash_case().evidence, search.rows)


class TestSteps:
    def test_each_excludes_what_would_have_shown_something_else(self):
        found = acts("F1", "stays tripped", "press S2", ("volts", "S2:14", "X2"), ("volts", "F1:96", "X2"))
        assert [(step.excluded, step.after.bit_count()) for step in found.steps] == [(13, 19), (12, 7), (4, 3)]
        assert found.used == 2
        left = [group[0].sentence for group in wash_case().evidence.members(found.remaining)]
        assert left == [
            "the contact NC F1 95-96 at wires 4–5 does not close",
            "the wire on the right of the contact NO S2 at wires 3–4 is open",
            "the wire on the left of the contact NC F1 95-96 at wires 4–5 is open",
        ]

    def test_the_hidden_fault_is_never_excluded(self):
        case = wash_case()
        for number, group in enumerate(case.evidence.classes):
            for fault in group:
                search = Search(faulty(*case.claims.names(fault)[0]))
                for order in ("press S2", "let S2 go", "press S1", "let S1 go", "switch the supply off"):
                    search.act("do", order)
                search.act("ohms", leads=("S2:14", "X2"))
                search.act("as found")
                for leads in (("Q1:A1", "X2"), ("Q1:A2", "X1"), ("P1:X1", "X2")):
                    search.act("volts", leads=leads)
                found = account(case.evidence, search.rows, advice=False)
                assert found.remaining >> number & 1, fault.sentence

    def test_bits_are_what_the_act_gave(self):
        found = acts("F1", "stays tripped", "press S2", ("volts", "S2:14", "X2"))
        assert [step.bits for step in found.steps] == [pytest.approx(0.7521, abs=1e-4), pytest.approx(1.4406, abs=1e-4)]

    def test_a_reading_taken_twice_gives_nothing(self):
        twice = ("volts", "S2:14", "X2")
        found = acts("F1", "stays tripped", "press S2", twice, twice)
        assert (found.steps[-1].bits, found.steps[-1].excluded) == (0, 0)

    def test_the_best_reading_then_divides_what_was_left(self):
        found = acts("F1", "stays tripped", "press S2", ("volts", "X1", "X2"))
        best = found.steps[1].best
        assert found.steps[0].best is None  # no reading was taken there
        assert best.left < 16
        assert best.bits > 1
        assert found.steps[1].excluded == 6  # all with which the fuse is blown, or melts: a poor reading

    def test_live_and_unproved_readings_are_listed_once(self):
        ohms = ("ohms", "S1:11", "S1:12")
        found = acts("P1", "lamp is burnt out", ohms, "switch the supply off", ohms)
        assert [row.number for row in found.live] == [1]
        assert [row.number for row in found.unproved] == [3]


def test_faults_of_one_class_have_the_same_account():
    done = ("press S2", ("volts", "S1:12", "X2"), "let S2 go", "press S1", ("volts", "S1:12", "X2"))
    one, other = (acts("S1", words, *done) for words in ("contact 11-12 stays open", "stays pressed"))
    assert [step.after for step in one.steps] == [step.after for step in other.steps]
    assert fault_of(wash_case(), "S1", "stays pressed") in wash_case().evidence.members(one.remaining)[0]
