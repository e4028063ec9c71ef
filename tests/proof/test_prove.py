import pytest
from hypothesis import event, given, settings
from hypothesis import strategies as st

from rungbook import NC, NO, Device, Ladder, LadderError, coil, lamp
from rungbook.behaviour import Panel, tell
from rungbook.proof import (
    decide,
    does_not_start,
    follows,
    holds_in,
    never_together,
    no_races,
    off_while,
    prove,
    pulls_in,
    starts_only_after,
    stays_off,
)
from rungbook.proof.slices import Cones, widest
from strategies import ladders


@pytest.fixture
def pump():
    ladder = Ladder("Wash pump", [Device("S1", label="stop <b>&"), Device("S2"), Device("Q1")])
    ladder.rung(NC("S1") & (NO("S2") | NO("Q1")), coil("Q1"))
    return ladder


class TestProof:
    def test_it_is_true_only_if_every_rule_holds(self, pump):
        good, bad = off_while("Q1", "S1", "pressed"), off_while("Q1", "S2", "pressed")
        assert prove(pump, good)
        assert not prove(pump, good, bad)
        assert not prove(pump, bad)

    def test_a_rule_that_is_not_shown_does_not_hold(self, pump):
        proof = prove(pump, off_while("Q1", "F1", "tripped"))
        assert proof.verdicts[0].outcome == "not shown"
        assert not proof

    def test_verdicts_stand_in_the_order_asked(self, pump):
        rules = [off_while("Q1", "S2", "pressed"), pulls_in("Q1", when="press S2"), off_while("Q1", "F1", "tripped")]
        assert [verdict.outcome for verdict in prove(pump, *rules).verdicts] == ["broken", "holds", "not shown"]

    def test_many_rules_at_once_are_the_rules_one_by_one(self, pump):
        rules = [off_while("Q1", "S2", "pressed"), pulls_in("Q1", when="press S2"), off_while("Q1", "S1", "pressed")]
        assert prove(pump, *rules).verdicts == tuple(prove(pump, rule).verdicts[0] for rule in rules)

    def test_past_the_limit_of_states_it_is_not_decided(self, pump):
        (verdict,) = prove(pump, off_while("Q1", "S1", "pressed"), limit=3).verdicts
        assert verdict.outcome == "not decided"
        assert verdict.why == "more than 3 states can be reached; an instructor will look."
        assert not verdict.holds

    def test_past_the_limit_of_seconds_it_is_not_decided_and_says_so(self, pump):
        (verdict,) = prove(pump, off_while("Q1", "S1", "pressed"), seconds=-1).verdicts
        assert (verdict.outcome, verdict.why) == ("not decided", "it takes more than -1 s; an instructor will look.")

    def test_a_breach_found_before_the_limit_is_told_all_the_same(self, pump):
        proof = prove(pump, off_while("Q1", "S2", "pressed"), off_while("Q1", "S1", "pressed"), limit=3)
        assert [verdict.outcome for verdict in proof.verdicts] == ["broken", "not decided"]

    def test_html_is_escaped(self, pump):
        html = prove(pump, off_while("Q1", "S1", "pressed"))._repr_html_()
        assert html == "<ul><li>holds: Q1 is out whenever S1 (stop &lt;b&gt;&amp;) is pressed.</li></ul>"

    @pytest.mark.parametrize("rule", ["Q1 is off", None, off_while])
    def test_what_is_no_rule_is_refused(self, pump, rule):
        with pytest.raises(LadderError, match="prove: takes rules such as off_while"):
            prove(pump, rule)

    def test_what_is_no_ladder_is_refused(self):
        with pytest.raises(LadderError, match="prove: works on a Ladder"):
            prove("pump")

    def test_an_empty_ladder_is_refused(self):
        with pytest.raises(LadderError, match="has no rungs yet"):
            prove(Ladder(), off_while("Q1", "S1", "pressed"))


def holding_circuits(count):
    """So many holding circuits with one stop and one overload relay; their states multiply."""
    ladder = Ladder("Vat agitators")
    for k in range(1, count + 1):
        ladder.rung(NC("S99") & (NO(f"S{k}") | NO(f"Q{k}")) & NC("F1"), coil(f"Q{k}"))
    return ladder


class TestCones:
    @pytest.fixture
    def cones(self):
        ladder = Ladder()
        ladder.rung(NO("S1") & NO("K1"), coil("Q1"))
        ladder.rung(NO("S2") | NO("K1"), coil("K1"))
        ladder.rung(NO("Q1"), lamp("P1"), lamp("P2"))
        return Cones(ladder)

    def test_a_cone_holds_all_that_bears_on_a_load_however_far_back(self, cones):
        assert cones.of(["K1"]) == {"K1", "S2"}
        assert cones.of(["P2"]) == {"P2", "Q1", "S1", "K1", "S2"}
        assert cones.of(["K1", "S7"]) == {"K1", "S2", "S7"}

    def test_a_coil_that_holds_itself_makes_a_state(self, cones):
        assert cones.has_state(cones.of(["P1"]))
        ladder = Ladder()
        ladder.rung(NO("S1"), coil("K1"))
        ladder.rung(NO("K1"), lamp("P1"))
        assert not Cones(ladder).has_state(Cones(ladder).of(["P1"]))

    def test_the_widest_are_those_that_lie_in_no_other(self):
        ab, bc = frozenset("ab"), frozenset("bc")
        assert widest([frozenset("a"), bc, ab, bc]) == [bc, ab]


class TestParts:
    def test_ten_independent_circuits_are_decided_one_by_one(self):
        ladder = holding_circuits(10)
        rules = [pulls_in(f"Q{k}", when=f"press S{k}") for k in range(1, 11)]
        rules += [off_while(f"Q{k}", "S99", "pressed") for k in range(1, 11)]
        rules += [never_together("Q1", "Q2"), no_races()]
        outcomes = [verdict.outcome for verdict in prove(ladder, *rules).verdicts]
        assert outcomes == [*["holds"] * 20, "broken", "holds"]
        whole = decide(Panel(ladder), rules[:1], limit=2000, sliced=False)
        assert whole.verdicts[0].why == "more than 2000 states can be reached; an instructor will look."

    def test_chatter_elsewhere_breaks_no_rule_but_the_one_about_the_whole_panel(self):
        ladder = Ladder()
        ladder.rung(NC("S1") & (NO("S2") | NO("Q1")), coil("Q1"))
        ladder.rung(NO("S3") & NC("K7"), coil("K7"))
        ladder.rung(NO("K7"), lamp("P1"))
        rules = (off_while("Q1", "S1", "pressed"), follows("P1", "K7", "in"), no_races())
        verdicts = prove(ladder, *rules).verdicts
        assert [(v.outcome, tell(v.steps)) for v in verdicts] == [
            ("holds", ""),
            ("broken", "Press S3."),
            ("broken", "Press S3."),
        ]
        assert {v.seen for v in verdicts[1:]} == {"the coils chatter"}

    def test_chatter_in_a_wider_part_that_another_rule_asks_of_breaks_only_that_rule(self):
        ladder = Ladder()
        ladder.rung(NC("S1") & (NO("S2") | NO("Q1")), coil("Q1"))
        ladder.rung(NO("Q1") & NC("K7"), coil("K7"))
        verdicts = prove(ladder, off_while("Q1", "S1", "pressed"), off_while("K7", "S1", "pressed")).verdicts
        assert [verdict.outcome for verdict in verdicts] == ["holds", "broken"]

    def test_a_wider_part_past_the_limit_leaves_the_narrow_ones_decided(self):
        ladder = holding_circuits(4)
        rules = (starts_only_after("Q1", "Q2").only_while("Q2", "in").only_while("Q3", "in"),)
        rules += (pulls_in("Q1", when="press S1"), off_while("Q4", "S99", "pressed"))
        verdicts = prove(ladder, *rules, limit=60).verdicts
        assert [verdict.outcome for verdict in verdicts] == ["not decided", "holds", "holds"]

    def test_a_part_keeps_the_wires_and_the_order_of_the_whole(self):
        ladder = Ladder()
        ladder.rung(NO("S3") & NO("S2"), coil("K1"))
        ladder.rung(NO("S2") & NO("S3") & NC("S1"), coil("Q1"))
        rule = off_while("Q1", "S3", "pressed")
        whole, part = decide(Panel(ladder), [rule], sliced=False), prove(ladder, rule)
        assert str(whole) == str(part)
        assert tell(part.verdicts[0].steps) == "Press S3. Press S2."

    RULES = (
        pulls_in("Q1", when="press S2"),
        pulls_in("K1", when="press S1").unless("Q1", "in"),
        holds_in("Q1", after="let S2 go"),
        off_while("Q1", "S1", "pressed"),
        off_while("K1", "Q1", "in"),
        stays_off("Q1", when="press S2").only_while("K1", "in"),
        does_not_start("Q1", by="reset F1"),
        follows("P1", "Q1", "in"),
        follows("P1", "S1", "pressed").only_while("F1", "set"),
        never_together("Q1", "K1"),
        starts_only_after("K1", "Q1"),
        no_races(),
    )

    @given(ladders(plain=True, most=4), st.booleans())
    @settings(max_examples=150)
    def test_a_part_gives_the_verdicts_of_the_whole_by_equally_short_orders(self, ladder, alone):
        panel = Panel(ladder, [Device("S1"), Device("S2"), Device("F1")])
        whole = decide(panel, self.RULES, sliced=False).verdicts
        part = decide(panel, self.RULES).verdicts
        if alone:
            part = tuple(decide(panel, [rule]).verdicts[0] for rule in self.RULES)
        steady = whole[-1].outcome != "broken"
        event(f"a race or chatter: {not steady}")
        for one, other in zip(whole, part, strict=True):
            if steady:
                assert str(one) == str(other)
            elif not one.chatter:
                assert (one.outcome, len(one.steps)) == (other.outcome, len(other.steps)), one.sentence
