"""A seed gives the same numbers for ever."""

from collections import Counter

from rungbook.alone.practice.draws import Draws


def test_the_same_words_give_these_numbers_for_ever() -> None:
    draws = Draws("build", "1", "7")
    assert [draws.below(100) for _ in range(6)] == [47, 79, 0, 43, 24, 15]
    assert draws.pick("abcdef") == "b"
    assert draws.some(range(5), 5) == [4, 0, 2, 3, 1]


def test_each_number_is_as_likely() -> None:
    draws = Draws("spread")
    count = Counter(draws.below(6) for _ in range(6000))
    assert set(count) == set(range(6))
    assert all(850 < n < 1150 for n in count.values()), count  # 1000 ± 5 standard deviations


def test_some_takes_each_thing_at_most_once() -> None:
    draws = Draws("some")
    assert all(len(set(draws.some("abcdefg", 4))) == 4 for _ in range(100))
