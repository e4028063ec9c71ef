import pytest
from hypothesis import assume, event, given, settings
from hypothesis import strategies as st

from oracle import Bench, first_difference, possible_ends
from rungbook import NC, NO, Device, Ladder, LadderError, coil, compare, lamp
from rungbook.behaviour import tell
from rungbook.circuit import Contact
from rungbook.proof import panel_devices
from strategies import contacts, join, ladders, trees


def pump(contacts, *more):
    ladder = Ladder("Wash pump")
    ladder.rung(contacts, coil("Q1"))
    for way, load in more:
        ladder.rung(way, load)
    return ladder


ASKED = pump(NC("S1") & (NO("S2") | NO("Q1")) & NC("F1"))


class TestSame:
    @pytest.mark.parametrize(
        "contacts",
        [
            NC("S1") & (NO("S2") | NO("Q1")) & NC("F1"),
            NC("F1") & (NO("Q1") | NO("S2")) & NC("S1"),
            NC("S1") & NC("F1") & NO("S2") | NC("S1") & NC("F1") & NO("Q1"),
            NC("S1") & (NO("S2") | NO("Q1") | NO("S2") & NO("Q1")) & NC("F1") & NC("F1"),
        ],
    )
    def test_another_shape_that_does_the_same_is_the_same(self, contacts):
        found = compare(pump(contacts), ASKED)
        assert (found.outcome, bool(found), str(found)) == ("same", True, "same")

    def test_a_helping_relay_is_free(self):
        mine = Ladder()
        mine.rung(NC("S1") & (NO("S2") | NO("K1")) & NC("F1"), coil("K1"))
        mine.rung(NO("K1"), coil("Q1"))
        assert compare(mine, ASKED, ["Q1"])
        assert compare(mine, ASKED)

    def test_a_lamp_that_was_not_asked_for_is_free(self):
        assert compare(pump(NC("S1") & (NO("S2") | NO("Q1")) & NC("F1"), (NO("Q1"), lamp("P1"))), ASKED)


class TestDifferent:
    @pytest.mark.parametrize(
        ("contacts", "told"),
        [
            (
                NC("S1") & NO("S2") & NC("F1"),
                "different: Press S2. Let S2 go. Yours: Q1 drops out. Asked: Q1 holds in. "
                "There is no closed path around S2 (wires 3–4) after it opens.",
            ),
            (
                NC("S1") & (NO("S2") | NO("Q1")),
                "different: Press S2. Trip F1. Yours: Q1 holds in. Asked: Q1 drops out. "
                "Current flows through NC S1, NO S2 to Q1. No contact of F1 stands in this path.",
            ),
            (
                (NC("S1") & NO("S2") | NO("Q1")) & NC("F1"),
                "different: Press S2. Press S1. Yours: Q1 holds in. Asked: Q1 drops out. "
                "Current flows through NO Q1, NC F1 to Q1. No contact of S1 stands in this path.",
            ),
            (
                NC("S1") & NC("F1"),
                "different: Nothing is touched. Yours: Q1 is in. Asked: Q1 is out. "
                "Current flows through NC S1, NC F1 to Q1.",
            ),
            (
                NC("S1") & (NO("S2") | NC("Q1")) & NC("F1"),
                "different: Nothing is touched. Yours: the coils chatter. Asked: everything comes to rest. "
                "The coils open their own ways, or one another's, and close them again without end.",
            ),
        ],
    )
    def test_the_shortest_orders_that_show_it_and_why_in_words_of_the_bench(self, contacts, told):
        found = compare(pump(contacts), ASKED)
        assert str(found) == told
        assert not found

    def test_a_missing_output_is_told(self):
        mine = Ladder()
        mine.rung(NC("S1") & NO("S2"), coil("K1"))
        found = compare(mine, ASKED)
        assert (tell(found.steps), found.yours, found.why) == ("Press S2.", "Q1 stays out", "No rung ends in Q1.")

    def test_a_race_of_mine_is_a_difference_if_one_outcome_differs(self):
        mine = Ladder()
        mine.rung(NO("S1") & NC("K2"), coil("K1"))
        mine.rung(NO("S1") & NC("K1"), coil("K2"))
        asked = Ladder()
        asked.rung(NO("S1"), coil("K1"))
        found = compare(mine, asked)
        assert tell(found.steps) == "Press S1."
        assert found.why.startswith("It depends on which relay is quicker.")

    def test_the_kinds_of_the_asked_ladder_decide(self):
        mine = Ladder("", [Device("S2", "two-position selector"), Device("Q1")])
        mine.rung(NO("S2"), coil("Q1"))
        asked = Ladder()
        asked.rung(NO("S2") | NO("Q1") & NC("S1"), coil("Q1"))
        assert tell(compare(mine, asked).steps) == "Press S2. Let S2 go."

    def test_outputs_that_are_not_watched_are_free(self):
        lamp_wrong = pump(NC("S1") & (NO("S2") | NO("Q1")) & NC("F1"), (NC("Q1"), lamp("P1")))
        lamp_right = pump(NC("S1") & (NO("S2") | NO("Q1")) & NC("F1"), (NO("Q1"), lamp("P1")))
        assert compare(lamp_wrong, lamp_right, ["Q1"])
        assert compare(lamp_wrong, lamp_right, ["P1"]).yours == "P1 is lit"
        assert not compare(lamp_wrong, lamp_right)


class TestLimits:
    def test_past_the_limit_it_is_not_decided(self):
        found = compare(ASKED, ASKED, limit=3)
        assert (found.outcome, bool(found)) == ("not decided", False)
        assert found.why == "more than 3 states can be reached; an instructor will look."

    def test_an_output_that_the_asked_ladder_lacks_is_refused(self):
        with pytest.raises(LadderError) as found:
            compare(ASKED, ASKED, ["Q1", "P1"])
        assert str(found.value) == "compare: the asked ladder has no load P1. Given: 'P1'. Choices: Q1."

    def test_an_asked_ladder_with_a_race_is_refused(self):
        asked = Ladder()
        asked.rung(NO("S1") & NC("K2"), coil("K1"))
        asked.rung(NO("S1") & NC("K1"), coil("K2"))
        with pytest.raises(LadderError, match="the asked ladder has a race or chatters"):
            compare(asked, asked)

    @pytest.mark.parametrize("pair", [("x", ASKED), (ASKED, None)])
    def test_what_is_no_ladder_is_refused(self, pair):
        with pytest.raises(LadderError, match="compare: works on two Ladders"):
            compare(*pair)

    def test_an_empty_ladder_is_refused(self):
        with pytest.raises(LadderError, match="has no rungs yet"):
            compare(Ladder(), ASKED)

    def test_the_first_ladder_that_names_a_device_decides_its_kind(self):
        one = Ladder("", [Device("S1", "emergency stop"), Device("Q1")])
        one.rung(NC("S1"), coil("Q1"))
        two = Ladder()
        two.rung(NC("S1") & NO("S2"), coil("Q1"))
        assert [(d.tag, d.kind) for d in panel_devices(one, two)] == [
            ("S1", "emergency stop"),
            ("Q1", "contactor"),
            ("S2", "push button"),
        ]


HOLDING = (
    NC("S1") & (NO("S2") | NO("Q1")) & NC("F1"),
    (NO("S2") | NO("Q1") & NC("S1")) & NC("F1"),
    NC("S1") & (NO("S2") | NO("K1") & NO("Q1")),
)


@st.composite
def changed(draw, part, at=None):
    """The tree with one contact put in another's place, or with members turned round."""
    count = part.size
    at = draw(st.integers(0, count)) if at is None else at
    number = 0

    def copy(node):
        nonlocal number
        if isinstance(node, Contact):
            number += 1
            return draw(contacts(("S1", "S2", "F1", "Q1"))) if number == at else node
        inner = [copy(member) for member in node.parts]
        turned = inner[::-1] if draw(st.booleans()) else inner
        return join("&" if type(node).__name__ == "Series" else "|", turned)

    return copy(part)


@st.composite
def pairs(draw):
    """A ladder and another that is like it, or like nothing."""
    if draw(st.integers(0, 3)) == 0:
        return draw(ladders(plain=True, most=4)), draw(ladders(plain=True, most=4))
    base = draw(st.sampled_from(HOLDING) | trees(("S1", "S2", "F1", "Q1"), 5))
    help_way = draw(trees(("S1", "S2", "Q1"), 3))
    found = []
    for way in (draw(changed(base)), base):
        ladder = pump(way)
        ladder.rung(help_way, coil("K1"))
        found.append(ladder)
    return tuple(found)


class TestAgainstSecondReading:
    @given(pairs())
    @settings(max_examples=250)
    def test_verdict_and_number_of_orders_are_the_same_and_the_orders_show_the_difference(self, pair):
        mine, asked = pair
        outputs = (*asked.coils(), *asked.lamps())
        ours, theirs = Bench(mine, ("S1", "S2", "F1")), Bench(asked, ("S1", "S2", "F1"))
        wanted = first_difference(ours, theirs, outputs)
        assume(wanted != "unclear")
        event(f"orders: {wanted}")
        found = compare(mine, asked)
        assert found.outcome == ("same" if wanted is None else "different")
        if wanted is not None:
            assert len(found.steps) == wanted
            moved = tuple(step.device for step in found.steps)
            (mine_ends, stuck), (asked_ends, _) = possible_ends(ours, moved), possible_ends(theirs, moved)
            assert stuck or any(
                ours.on(tag, a) != theirs.on(tag, b) for tag in outputs for a in mine_ends for b in asked_ends
            )
