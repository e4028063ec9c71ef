from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from rungbook.behaviour.nodal import Joints


def joined(size, *joints):
    found = Joints(size)
    for joint in joints:
        found.join(*joint)
    return found


def exact(size, joints):
    """Potentials against node 0 in fractions, by plain elimination on the stored matrix; all nodes joined."""
    rows = [[Fraction(0)] * (size + 1) for _ in range(size)]
    for a, b, siemens, volts in joints:
        if a != b:
            for one, other, amps in ((a, b, siemens * volts), (b, a, -siemens * volts)):
                rows[one][one] += siemens
                rows[one][other] -= siemens
                rows[one][size] += amps
    rows = [row[1:] for row in rows[1:]]
    for k in range(size - 1):
        swap = next(j for j in range(k, size - 1) if rows[j][k])
        rows[k], rows[swap] = rows[swap], rows[k]
        rows[k] = [value / rows[k][k] for value in rows[k]]
        for j in range(size - 1):
            if j != k:
                rows[j] = [x - rows[j][k] * y for x, y in zip(rows[j], rows[k], strict=True)]
    return [Fraction(0), *(row[-1] for row in rows)]


class TestPotentials:
    def test_three_resistances_divide_an_emf(self):
        island, volts = joined(3, (0, 1, 0.5), (1, 2, 0.25), (0, 2, 0.5, 8)).potentials()
        assert island[0] == island[1] == island[2]
        assert volts[0] - volts[1] == pytest.approx(2)
        assert volts[1] - volts[2] == pytest.approx(4)

    def test_an_emf_counts_from_its_second_node_up_to_its_first(self):
        _, volts = joined(2, (1, 0, 0.5, 8)).potentials()
        assert volts[1] - volts[0] == 8

    def test_joints_side_by_side_add_and_a_loop_on_a_node_is_nothing(self):
        _, volts = joined(2, (0, 1, 0.5), (1, 0, 0.5), (0, 1, 1, 4), (1, 1, 9, 9)).potentials()
        assert volts[0] - volts[1] == pytest.approx(2)

    def test_a_star_becomes_a_mesh(self):
        _, volts = joined(4, (0, 3, 1), (1, 3, 2), (2, 3, 3), (0, 1, 1, 5)).potentials()
        assert volts[0] - volts[1] == pytest.approx(3)
        assert volts[2] == pytest.approx(volts[3])

    def test_islands_are_told_apart_and_a_dead_one_is_at_0(self):
        island, volts = joined(6, (0, 1, 1, 5), (2, 3, 1), (3, 4, 1)).potentials()
        assert island[0] == island[1]
        assert island[2] == island[3] == island[4]
        assert len({island[0], island[2], island[5]}) == 3
        assert volts[2:] == [0, 0, 0, 0]

    def test_a_dead_end_has_exactly_the_potential_of_its_neighbour(self):
        ends = ((0, 1, 1 / 3, 0.1), (0, 1, 0.9), (1, 2, 0.7 - 0.1j), (2, 3, 1 / 7), (2, 4, 0.3), (3, 4, 0.1j + 1))
        _, volts = joined(5, *ends).potentials()
        assert volts[0] != volts[1]
        assert volts[1] == volts[2] == volts[3] == volts[4]

    @given(st.data(), st.integers(2, 7))
    def test_it_agrees_with_fractions_over_eighteen_powers_of_ten(self, data, size):
        joints = random_joints(data, size)
        wanted = exact(size, joints)
        _, volts = joined(size, *((a, b, complex(s), complex(v)) for a, b, s, v in joints)).potentials()
        most = max(abs(v) for *_, v in joints)
        for k in range(size):
            found = volts[k] - volts[0]
            assert abs(found - float(wanted[k])) <= 1e-13 * most, (k, found, float(wanted[k]))


def random_joints(data, size):
    """A tree through all nodes and some joints more; admittances from 10**-12 to 10**6 S, e.m.f.s of some volts."""
    ends = st.integers(0, size - 1)
    sizes = st.integers(-12, 6).map(lambda power: Fraction(10) ** power)
    volts = st.sampled_from((0, 0, 120, -24))
    tree = [(k, data.draw(st.integers(0, k - 1)), data.draw(sizes), data.draw(volts)) for k in range(1, size)]
    return tree + data.draw(st.lists(st.tuples(ends, ends, sizes, volts), max_size=6))


class TestBetween:
    def test_joints_in_series_and_side_by_side(self):
        assert joined(3, (0, 1, 2), (1, 2, 2), (0, 2, 3)).between(0, 2) == pytest.approx(4)
        assert joined(3, (0, 1, 2), (1, 2, 2), (0, 2, 3)).between(1, 2) == pytest.approx(2 + 1.2)

    def test_a_dead_end_plays_no_part_and_islands_are_open(self):
        assert joined(4, (0, 1, 2), (1, 2, 2)).between(0, 1) == 2
        assert joined(4, (0, 1, 2), (2, 3, 2)).between(0, 3) is None

    @given(st.data(), st.integers(2, 7))
    def test_it_is_the_current_that_one_volt_drives(self, data, size):
        joints = [(a, b, siemens, 0) for a, b, siemens, _ in random_joints(data, size)]
        found = joined(size, *((a, b, complex(s)) for a, b, s, _ in joints)).between(0, 1)
        probe = Fraction(1)
        drop = -exact(size, [*joints, (0, 1, probe, 1)])[1]
        assert found == pytest.approx(float(probe * (1 - drop) / drop), rel=1e-12)
