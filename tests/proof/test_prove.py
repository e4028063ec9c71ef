import pytest

from rungbook import NC, NO, Device, Ladder, LadderError, coil
from rungbook.proof import off_while, prove, pulls_in


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
