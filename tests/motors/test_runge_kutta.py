import math

import pytest
import scipy.integrate
from hypothesis import given, settings
from hypothesis import strategies as st

from rungbook.motors import runge_kutta
from rungbook.motors.runge_kutta import solve

NEVER = lambda when, value: -1.0  # noqa: E731


def test_the_table_is_the_one_of_scipy():
    table = scipy.integrate.RK45  # the same pair; numbers of Dormand & Prince 1980
    assert [share for share, _ in runge_kutta._STAGES[:-1]] == pytest.approx(list(table.C[1:]))
    for (_, weights), row in zip(runge_kutta._STAGES, [*table.A[1:], table.B], strict=True):
        assert list(weights) == pytest.approx(list(row[: len(weights)]), rel=1e-15)
    assert [-weight for weight in runge_kutta._ERROR] == pytest.approx(list(table.E), rel=1e-15)
    assert list(runge_kutta._HIGHEST) == pytest.approx(list(table.P[:, 3]), rel=1e-15)


class TestClosedForms:
    def test_a_decay(self):
        found = solve(lambda t, y: -0.5 * y, 0, 8, 10)
        for k in range(101):
            assert found.at(k / 10) == pytest.approx(8 * math.exp(-k / 20), rel=1e-6)
        assert (found.last, found.end) == (10, None)

    def test_growth_to_a_bound(self):
        found = solve(lambda t, y: y * (1 - y), -3, 0.05, 9)
        for k in range(121):
            when = -3 + k / 10
            assert found.at(when) == pytest.approx(1 / (1 + 19 * math.exp(-(when + 3))), abs=1e-6)

    def test_a_polynomial_of_the_fourth_degree_is_met_to_the_last_digits(self):
        found = solve(lambda t, y: 4 * t**3 - 6 * t, 0, 1, 2)
        for k in range(21):
            assert found.at(k / 10) == pytest.approx((k / 10) ** 4 - 3 * (k / 10) ** 2 + 1, abs=1e-13)

    def test_one_that_stands(self):
        found = solve(lambda t, y: 0.0, 0, 3, 50)
        assert (found.at(0), found.at(50), found.last) == (3, 3, 50)

    def test_a_tighter_error_is_a_smaller_one(self):
        wrong = [
            abs(solve(lambda t, y: math.cos(t) * y, 0, 1, 20, relative=error, absolute=error).at(20) / at - 1)
            for at in [math.exp(math.sin(20))]
            for error in (1e-4, 1e-6, 1e-8)
        ]
        assert wrong[0] > 10 * wrong[1] > 100 * wrong[2]


class TestEnds:
    def test_it_ends_where_the_first_of_them_rises_through_zero(self):
        found = solve(lambda t, y: 2 * t, 0, 0, 10, (lambda t, y: y - 9, lambda t, y: y - 4, NEVER))
        assert (found.last, found.end) == (pytest.approx(2, abs=1e-9), 1)
        assert found.at(found.last) == pytest.approx(4)

    def test_falling_through_zero_is_no_end(self):
        found = solve(lambda t, y: 1.0, 0, 0, 10, (lambda t, y: 5 - y,))
        assert (found.last, found.end) == (10, None)

    def test_a_step_is_no_longer_than_allowed_so_nothing_is_stepped_over(self):
        late = lambda t, y: 1.0 if 6.1 < t < 6.5 else 0.0  # noqa: E731
        assert solve(late, 0, 0, 10, longest=0.2).at(10) == pytest.approx(0.4, abs=1e-3)
        assert max(step.length for step in solve(late, 0, 0, 10, longest=0.2).steps) <= 0.2


@given(st.floats(-2, 2), st.floats(-1, 1), st.floats(0.1, 3), st.floats(0.5, 20))
@settings(max_examples=40, deadline=None)
def test_scipy_comes_to_the_same_over_the_whole_course(value, force, stiff, until):
    def rate(t, y):
        return stiff * (math.sin(t) + force - y) - y**3 / 5

    ours = solve(rate, 0, value, until)
    theirs = scipy.integrate.solve_ivp(
        lambda t, y: [rate(t, y[0])], (0, until), [value], rtol=1e-7, atol=1e-9, dense_output=True
    )
    for k in range(41):
        when = until * k / 40
        assert ours.at(when) == pytest.approx(float(theirs.sol(when)[0]), abs=2e-6)
