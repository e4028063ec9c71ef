import pytest

from rungbook import NC, NO, Ladder, coil
from rungbook.behaviour import Panel, tell
from rungbook.proof import Exploration, TooMany


@pytest.fixture
def panel():
    ladder = Ladder()
    ladder.rung(NC("S1") & (NO("S2") | NO("Q1")), coil("Q1"))
    return Panel(ladder)


class TestWalk:
    def test_the_first_edge_is_the_panel_at_rest(self, panel):
        exploration = Exploration(panel)
        first = next(exploration.edges())
        assert (first.step, first.rest.states) == (None, (panel.start,))
        assert exploration.steps_to(first) == ()

    def test_every_state_is_left_by_every_possible_step_once(self, panel):
        edges = [(edge.before, edge.step.order) for edge in Exploration(panel).edges() if edge.step]
        assert len(edges) == len(set(edges))
        # S1, S2 and supply, two positions each, and Q1 held or not where neither button decides it
        states = {before for before, _ in edges}
        assert len(states) == 9
        assert len(edges) == 9 * 3

    def test_near_states_come_first_and_their_way_is_shortest(self, panel):
        exploration = Exploration(panel)
        lengths = [len(exploration.steps_to(edge)) for edge in exploration.edges()]
        assert lengths == sorted(lengths)
        assert max(lengths) == 4

    def test_the_way_to_an_edge_leads_there(self, panel):
        exploration = Exploration(panel)
        for edge in exploration.edges():
            state = panel.rest(panel.start).states[0]
            for step in exploration.steps_to(edge):
                assert panel.can(step, state), tell(exploration.steps_to(edge))
                (state,) = panel.after(step, state).states
            assert (state,) == edge.rest.states

    def test_the_limit_counts_states(self, panel):
        assert len(list(Exploration(panel, 9).edges())) == 28
        with pytest.raises(TooMany, match="more than 8 states can be reached"):
            list(Exploration(panel, 8).edges())
