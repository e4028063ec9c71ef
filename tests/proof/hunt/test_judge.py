import copy

import pytest

from hunting import fault_of, faulty, token_of, wash_case
from rungbook.proof.hunt import Search, best_hunt, judge

FAULT = ("F1", "contact 95-96 stays open")


def answer(search, claim=FAULT):
    """The answer of a hunt, as a student hands it in."""
    named = None if claim is None else dict(zip(("device", "fault"), claim, strict=True))
    return {"hunt": 1, "token": token_of(*FAULT), "acts": [row.record() for row in search.rows], "claim": named}


def judged(given, budget=20, fault=FAULT):
    case = wash_case()
    return judge(case.evidence, case.claims, fault_of(case, *fault), given, budget)


@pytest.fixture
def good():
    """The answer of the best strategy."""
    return answer(best_hunt(wash_case().evidence, fault_of(wash_case(), *FAULT)))


def by_hand(*done, claim=FAULT):
    search = Search(faulty(*FAULT))
    for one in done:
        if one[0] in ("volts", "ohms", "continuity"):
            search.act(one[0], leads=one[1:])
        else:
            search.act(*one)
    return answer(search, claim)


FOUND = (("do", "press S2"), ("volts", "S2:14", "X2"), ("volts", "F1:95", "X2"), ("volts", "F1:96", "X2"))
OFF = ("do", "switch the supply off")
PROVED = (OFF, ("lock out",), ("source",), ("volts", "X1", "X2"), ("source",))


class TestFault:
    def test_right_by_the_best_strategy_earns_everything(self, good):
        found = judged(good)
        assert (found.earned, found.found, found.method, found.safety) == (1, "right", 1, 1)
        assert (found.used, found.best, found.remaining) == (4, 4, 1)

    @pytest.mark.parametrize(
        ("claim", "found", "earned"),
        [
            (("F1", "stays tripped"), "right", 1),  # nothing tells it from the contact that stays open
            (("f1", "The contact 95-96 stays open."), "right", 1),
            (("F1", "wire at 95 is open"), "device", 0.2 + 0.2),
            (("S2", "wire at 14 is open"), "wrong", 0),
            (None, "nothing", 0),
        ],
    )
    def test_the_claim_decides(self, good, claim, found, earned):
        good["claim"] = None if claim is None else {"device": claim[0], "fault": claim[1]}
        result = judged(good)
        assert (result.found, result.earned) == (found, earned)

    def test_who_guesses_without_an_act_earns_the_chance_of_the_guess_and_nothing_for_method(self):
        found = judged(by_hand())
        assert (found.found, found.method, found.remaining, found.earned) == ("right", 0, 32, 0.4125)


class TestMethod:
    def test_twice_the_readings_is_half_of_it(self):
        found = judged(by_hand(*FOUND, *[("volts", "X1", "X2")] * 5))
        assert (found.used, found.remaining, found.method) == (8, 1, 0.5)

    def test_what_is_not_shown_is_not_paid(self):
        found = judged(by_hand(*FOUND[:2]))
        assert found.remaining == 7
        assert found.method == pytest.approx((5 - 2.80735) / 5, abs=1e-4)  # log2 of 32 over 7, over log2 of 32

    def test_fewer_readings_than_the_best_at_worst_is_no_more_than_all(self):
        found = judged(by_hand(*FOUND))
        assert (found.used, found.remaining, found.method) == (3, 1, 1)


class TestSafety:
    def test_ohms_proved_dead_cost_nothing(self):
        found = judged(by_hand(*FOUND, *PROVED, ("ohms", "F1:95", "F1:96")))
        assert (found.safety, found.live, found.unproved) == (1, 0, 0)

    def test_ohms_not_proved_dead_cost_half_of_it(self):
        found = judged(by_hand(*FOUND, OFF, ("ohms", "F1:95", "F1:96")))
        assert (found.safety, found.live, found.unproved) == (0.5, 0, 1)
        assert found.earned == 0.6 + 0.2 + 0.1

    def test_ohms_on_a_live_circuit_cost_all_of_it(self):
        found = judged(by_hand(*FOUND, ("continuity", "F1:95", "F1:96")))
        assert (found.safety, found.live, found.unproved) == (0, 1, 0)
        assert found.earned == 0.6 + 0.2


class TestForged:
    def test_a_reading_that_this_board_does_not_give_is_found_out(self):
        given = by_hand(*FOUND)
        given["acts"][3]["shown"] = "120.0 V"
        found = judged(given)
        assert found.earned == 0
        assert found.invalid == "Act 4, volts F1:96 – X2: the log says '120.0 V', this board shows '0.0 V'"

    def test_so_is_something_seen(self):
        given = by_hand(*FOUND)
        given["acts"][0]["shown"] = "Q1 in, P1 lit"
        assert judged(given).invalid.startswith(
            "Act 1, press S2: the log says 'Q1 in, P1 lit', this board shows 'Q1 out"
        )

    def test_so_is_the_log_of_another_fault(self, good):
        assert "this board shows" in judged(good, fault=("P1", "lamp is burnt out")).invalid

    def test_a_last_digit_that_differs_is_no_forgery(self):
        given = by_hand(*FOUND)
        given["acts"][1]["shown"] = "119.9 V"
        assert judged(given).earned == 1

    @pytest.mark.parametrize("shown", ["nan V", "inf V", "OL", "120.0 ohm", "120.0", "120.0 V live", "1e400 V"])
    def test_but_what_no_meter_would_show_is(self, shown):
        given = by_hand(*FOUND)
        given["acts"][1]["shown"] = shown
        assert judged(given).invalid.startswith("Act 2")

    def test_more_readings_than_the_budget_are_refused(self, good):
        assert ": Hunt: all 3 readings are used up; name the fault" in judged(good, budget=3).invalid

    def test_acts_that_cannot_be_done_are_refused(self):
        given = by_hand(*FOUND)
        given["acts"][0]["what"] = "let S2 go"
        assert judged(given).invalid.startswith("Act 1: Order: cannot be given now; the hand has left S2 released")

    @pytest.mark.parametrize(
        ("change", "told"),
        [
            (lambda a: a.update(hunt=2), "hand in what hunt.answer"),
            (lambda a: a.pop("acts"), "hand in what hunt.answer"),
            (lambda a: a.update(acts={}), "acts are a list"),
            (lambda a: a["acts"].append(None), "Act 5: has its number, act"),
            (lambda a: a["acts"].pop(0), "Act 1: acts are numbered in their order"),
            (lambda a: a["acts"][0].update(act="hit"), "Act 1: no such act, or nothing shown"),
            (lambda a: a["acts"][0].update(act=[]), "Act 1: no such act, or nothing shown"),
            (lambda a: a["acts"][0].update(shown=5), "Act 1: no such act, or nothing shown"),
            (lambda a: a["acts"][0].update(more=1), "Act 1: has its number, act"),
            (lambda a: a["acts"][1].update(leads="ab"), "Act 2: leads are a list of two"),
            (lambda a: a["acts"][1].update(leads=["S2:14", 3]), "Act 2: Lead: no such terminal"),
            (lambda a: a.update(claim="F1"), "Claim: names a device and a fault"),
            (lambda a: a.update(claim={"device": 1, "fault": 2}), "Claim: names a device"),
            (lambda a: a.update(claim={"device": "F1", "fault": []}), "Claim on F1: no such fault here"),
        ],
    )
    def test_an_answer_that_is_not_as_made_earns_nothing_and_is_told(self, change, told):
        given = copy.deepcopy(by_hand(*FOUND))
        change(given)
        found = judged(given)
        assert found.earned == 0
        assert told in found.invalid
