from collections import Counter

import pytest

from hunting import fault_of, token_of, wash_case, wash_pump
from rungbook import NO, Ladder, LadderError, coil
from rungbook.bench import FaultHunt
from rungbook.grading import choose_fault, finds_fault, hunt_tokens, mark
from rungbook.grading.mark import first_to_mend
from rungbook.grading.variants import check_pools, choose, read_pools, renamed

TOKEN = token_of("P1", "lamp is burnt out")
SECRET = b"sixteen bytes and some"


def ask(points=20, **more):
    return finds_fault(wash_pump(), TOKEN, points, "P1 and what leads to it", lab="lab07", **more)


def hunted(token=TOKEN):
    hunt = FaultHunt(wash_pump(), token, lab="lab07")
    hunt.do("press S2")
    hunt.volts("P1:X1", "P1:X2")
    return hunt


def marked(answer, capsys, requirement=None):
    points = mark("found", {"found": answer}, requirement or ask())
    return points, first_to_mend(capsys.readouterr().out)


class TestFindsFault:
    def test_found_it_earns_all_points(self, capsys):
        hunt = hunted()
        hunt.volts("P1:X1", "X2")
        hunt.claim("P1", "lamp is burnt out")
        points, told = marked(hunt.answer(), capsys)
        assert (points, told) == (20, "")

    def test_the_wrong_fault_of_the_right_device_earns_a_part(self, capsys):
        hunt = hunted()
        hunt.claim("P1", "wire at X2 is open")
        points, told = marked(hunt.answer(), capsys)
        assert points == 8
        assert told.startswith(
            "You named P1, wire at X2 is open, with 1 reading. The device is right, its fault is another one."
        )

    def test_the_wrong_device_earns_nothing(self, capsys):
        hunt = hunted()
        hunt.claim("Q1", "coil is open")
        points, told = marked(hunt.answer(), capsys)
        assert points == 0
        assert told.startswith("You named Q1, coil is open, with 1 reading. That is not the fault.")

    def test_no_claim_earns_nothing_and_says_how(self, capsys):
        points, told = marked(hunted().answer(), capsys)
        assert points == 0
        assert told.startswith("You named no fault, with 1 reading. Name device and fault with hunt.claim.")

    def test_ohms_on_a_live_circuit_cost_points_and_are_told(self, capsys):
        hunt = hunted()
        hunt.ohms("P1:X1", "P1:X2")
        hunt.claim("P1", "lamp is burnt out")
        points, told = marked(hunt.answer(), capsys)
        assert points == 16
        assert "Resistance was measured on a live circuit: switch off, lock out" in told

    def test_ohms_without_proof_cost_half_of_that(self, capsys):
        hunt = hunted()
        hunt.do("let S2 go, switch the supply off")
        hunt.ohms("P1:X1", "P1:X2")
        hunt.claim("P1", "lamp is burnt out")
        points, told = marked(hunt.answer(), capsys)
        assert points == 18
        assert "before the circuit was proved dead" in told

    def test_a_forged_reading_is_found_out(self, capsys):
        hunt = hunted()
        hunt.claim("P1", "lamp is burnt out")
        answer = hunt.answer()
        answer["acts"][1]["shown"] = "0.0 V"
        points, told = marked(answer, capsys)
        assert points == 0
        assert told == (
            "The log is not one of this board. Act 2, volts P1:X1 – P1:X2: the log says '0.0 V', this board shows "
            "'119.9 V'."
        )

    def test_a_log_of_another_hunt_is_told_by_its_token(self, capsys):
        hunt = hunted(token_of("supply", "fuse is blown"))
        hunt.claim("supply", "fuse is blown")
        points, told = marked(hunt.answer(), capsys)
        assert (points, told) == (0, "This is the log of another hunt: its token is not yours.")

    def test_another_hunt_with_the_token_changed_by_hand_is_told_by_its_readings(self, capsys):
        hunt = hunted(token_of("supply", "fuse is blown"))
        hunt.claim("P1", "lamp is burnt out")
        points, told = marked(hunt.answer() | {"token": TOKEN}, capsys)
        assert points == 0
        assert told.startswith("The log is not one of this board. Act 1, press S2: the log says 'Q1 out, P1 dark'")

    @pytest.mark.parametrize("answer", [{}, {"token": TOKEN}, {"hunt": 1, "token": TOKEN, "acts": 5, "claim": None}])
    def test_an_answer_that_is_not_as_made_earns_nothing(self, capsys, answer):
        assert marked(answer, capsys)[0] == 0

    def test_the_exercise_is_checked_when_it_is_written(self):
        with pytest.raises(LadderError, match="none of this lab"):
            finds_fault(wash_pump(), TOKEN, 20, lab="lab08")
        with pytest.raises(LadderError, match="points are a number above 0"):
            ask(0)
        with pytest.raises(LadderError, match="a budget is a whole number"):
            ask(budget=0)
        other = Ladder("Fan")
        other.rung(NO("S1"), coil("Q1"))
        with pytest.raises(LadderError, match="belongs to another circuit"):
            finds_fault(other, TOKEN, 20, lab="lab07")


class TestTokens:
    def test_there_is_one_for_each_class_that_can_be_hunted(self):
        tokens = hunt_tokens(wash_pump(), lab="lab07")
        assert len(tokens) == len(set(tokens.values())) == 32
        assert tokens["the lamp P1 is burnt out"] == TOKEN

    def test_of_some_kinds(self):
        tokens = hunt_tokens(wash_pump(), lab="lab07", kinds=["open coil", "burnt-out lamp"])
        assert list(tokens) == ["the coil of Q1 is open", "the lamp P1 is burnt out"]
        with pytest.raises(LadderError, match=r"no fault of this kind can be hunted here. Given: 'rust'"):
            hunt_tokens(wash_pump(), kinds=["rust"])

    def test_another_salt_gives_other_tokens_for_the_same_faults(self):
        one, other = (hunt_tokens(wash_pump(), lab="lab07", salt=salt) for salt in ("", "b"))
        assert one.keys() == other.keys()
        assert not set(one.values()) & set(other.values())
        case = wash_case()
        assert case.hidden(other["the lamp P1 is burnt out"]) is fault_of(case, "P1", "lamp is burnt out")

    def test_they_are_words_that_a_variant_can_change(self):
        tokens = list(hunt_tokens(wash_pump(), lab="lab07").values())[:4]
        pools = read_pools("lab07", {"pool": [{"words": tokens[:1], "become": tokens}]})
        source = f'hunt = FaultHunt(pump, "{tokens[0]}", lab="lab07")'
        check_pools("lab07", pools, [source])
        seen = {renamed(source, choose(pools, SECRET, "lab07", f"student{n}")) for n in range(40)}
        assert seen == {f'hunt = FaultHunt(pump, "{token}", lab="lab07")' for token in tokens}


class TestChoice:
    def test_it_is_always_the_same(self):
        assert [choose_fault(f"student{n}", "lab07", SECRET, 8) for n in range(8)] == [3, 1, 7, 4, 3, 1, 0, 4]

    def test_every_fault_is_as_likely(self):
        count = Counter(choose_fault(f"student{n}", "lab07", SECRET, 4) for n in range(800))
        assert all(150 < count[k] < 250 for k in range(4))

    def test_another_secret_or_lab_gives_another_choice(self):
        names = [f"student{n}" for n in range(30)]
        first = [choose_fault(name, "lab07", SECRET, 8) for name in names]
        assert first != [choose_fault(name, "lab08", SECRET, 8) for name in names]
        assert first != [choose_fault(name, "lab07", b"another secret of some length", 8) for name in names]

    @pytest.mark.parametrize("count", [0, True, "3"])
    def test_there_is_something_to_choose_from(self, count):
        with pytest.raises(LadderError, match="chooses among 1 or more faults"):
            choose_fault("student1", "lab07", SECRET, count)
