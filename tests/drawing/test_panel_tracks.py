from itertools import permutations

from hypothesis import given
from hypothesis import strategies as st

from rungbook.drawing.panel_tracks import CLEAR, crossings, run, tracks

UP, DOWN = True, False


class TestCrossings:
    def test_a_piece_that_goes_down_crosses_what_lies_below_it(self):
        upper, lower = run(0, (10, DOWN), (50, UP)), run(1, (0, UP), (30, DOWN))
        assert (crossings(upper, lower), crossings(lower, upper)) == (1, 1)

    def test_nested_bows_do_not_cross_if_the_wider_one_is_outside(self):
        wide, narrow = run(0, (0, DOWN), (100, DOWN)), run(1, (20, DOWN), (80, DOWN))
        assert (crossings(wide, narrow), crossings(narrow, wide)) == (0, 2)
        assert tracks([narrow, wide]) == [1, 0]


class TestTracks:
    def test_runs_that_are_apart_share_a_track(self):
        assert tracks([run(0, (0, UP), (40, UP)), run(1, (40 + CLEAR, UP), (90, UP))]) == [0, 0]

    def test_runs_nearer_than_that_do_not(self):
        assert len(set(tracks([run(0, (0, UP), (40, UP)), run(1, (52, UP), (90, UP))]))) == 2

    @given(
        st.lists(
            st.tuples(st.integers(0, 20), st.integers(1, 12), st.booleans(), st.booleans()), min_size=1, max_size=5
        )
    )
    def test_few_runs_lie_nearly_as_well_as_any_order_of_them(self, shapes):
        runs = [run(n, (16.0 * a + n, up), (16.0 * (a + b) + n, rises)) for n, (a, b, up, rises) in enumerate(shapes)]

        def total(order):
            return sum(crossings(runs[a], runs[b]) for n, a in enumerate(order) for b in order[n + 1 :])

        found = tracks(runs)
        order = sorted(range(len(runs)), key=lambda k: found[k])
        best = min(total(other) for other in permutations(range(len(runs))))
        assert total(order) <= best + 1
