"""Choice and renaming, on small texts."""

from collections import Counter

import pytest

from rungbook import LadderError
from rungbook.grading.variants import (
    Pool,
    Variant,
    check_pools,
    choose,
    how_many,
    read_pools,
    renamed,
    variant_number,
)

SECRET = b"sixteen bytes or more"
POOLS = (
    Pool(("S1", "S2"), become=("S1", "S2", "S3")),
    Pool(("5 s", "6 s"), together=(("5 s", "6 s"), ("8 s", "9 s"))),
)


def becomes(**words):
    return Variant("x", words)


class TestRenamed:
    def test_all_words_change_at_once_so_two_can_be_exchanged(self):
        assert renamed('NC("S1") & NO("S2"), **S1**, S2\'s', becomes(S1="S2", S2="S1")) == (
            'NC("S2") & NO("S1"), **S2**, S1\'s'
        )

    @pytest.mark.parametrize(
        "text",
        ["S10", "AS1", "S1_x", "lab02-S1", "S1-lab", "https://example.org/S1?S1", "pictures/S1.svg", "S1.ipynb", "s1"],
    )
    def test_within_a_longer_word_an_address_or_a_file_name_nothing_changes(self, text):
        assert renamed(text, becomes(S1="S2")) == text

    def test_a_time_is_not_found_in_a_longer_number_nor_after_a_decimal_point(self):
        variant = Variant("x", {"5 s": "8 s"})
        assert renamed("on-delay 5 s, 15 s, 2.5 s, wait 5 s, 5 short", variant) == (
            "on-delay 8 s, 15 s, 2.5 s, wait 8 s, 5 short"
        )

    def test_terminals_stay(self):
        assert renamed('NO("Q1", "13-14"), 13–14', Variant("x", {"13": "7", "14": "8", "Q1": "Q2"})) == (
            'NO("Q2", "13-14"), 13–14'
        )

    def test_the_longer_of_two_phrases_is_found_first(self):
        assert renamed("start now, start", Variant("x", {"start": "go", "start now": "run"})) == "run, go"


class TestChoose:
    def test_it_is_the_same_on_every_machine(self):
        assert choose(POOLS, SECRET, "lab02", "alder") == Variant(
            "76358f93f050", {"S1": "S1", "S2": "S3", "5 s": "5 s", "6 s": "6 s"}
        )

    def test_every_variant_is_about_equally_likely(self):
        assert how_many(POOLS) == 12
        counts = Counter(choose(POOLS, SECRET, "lab02", f"student {n}").name for n in range(2400))
        assert len(counts) == 12
        assert all(150 < count < 250 for count in counts.values()), counts  # 200 each; three and a half deviations

    def test_every_number_is_another_variant_with_another_name(self):
        variants = [variant_number(POOLS, SECRET, "lab02", n) for n in range(12)]
        assert len({tuple(variant.becomes.items()) for variant in variants}) == 12
        assert len({variant.name for variant in variants}) == 12

    def test_another_secret_lab_or_student_gives_another_choice(self):
        def choices(secret=SECRET, lab="lab02", more=""):
            return [choose(POOLS, secret, lab, f"{n}{more}").becomes for n in range(20)]

        assert choices() == choices()
        assert choices() != choices(secret=b"another secret altogether")
        assert choices() != choices(lab="lab01")
        assert choices() != choices(more="a")

    def test_the_name_hangs_on_the_secret(self):
        one, other = (variant_number(POOLS, secret, "lab02", 3) for secret in (SECRET, b"another secret altogether"))
        assert one.becomes == other.becomes
        assert one.name != other.name

    def test_a_short_secret_or_no_student_is_refused(self):
        with pytest.raises(LadderError, match="at least 16 bytes"):
            choose(POOLS, b"short", "lab02", "alder")
        with pytest.raises(LadderError, match="needs the student's id"):
            choose(POOLS, SECRET, "lab02", "")


class TestReadPools:
    def test_both_forms(self):
        data = {
            "pool": [
                {"words": ["S1", "S2"], "become": ["S1", "S2", "S3"]},
                {"words": ["5 s", "6 s"], "together": [["5 s", "6 s"], ["8 s", "9 s"]]},
            ]
        }
        assert read_pools("lab02", data) == POOLS

    @pytest.mark.parametrize(
        ("pools", "rule"),
        [
            ([], "holds .*pool.* tables and nothing else"),
            ([{"words": ["S1"]}], "has words, and either become or together"),
            ([{"words": ["S1"], "become": ["S2"], "together": [["S2"]]}], "has words, and either become or together"),
            ([{"words": "S1", "become": ["S2"]}], "words is a list of words"),
            ([{"words": ["S1", "S1"], "become": ["S1", "S2"]}], "each word stands once"),
            ([{"words": ["S1", "S2"], "become": ["S1"]}], "at least as many words to become as there are words, 2"),
            ([{"words": ["S1"], "become": ["S2", "Q1"]}], "S1 can only become a designation with the letter S"),
            ([{"words": ["S1"], "become": ["start"]}], "S1 can only become a designation with the letter S"),
            ([{"words": ["loft"], "become": ["S4"]}], "loft is no designation"),
            ([{"words": ["13-14"], "become": ["23-24"]}], "terminals are not changed"),
            ([{"words": ["5 s", "6 s"], "together": [["8 s"]]}], "has a word for each of 5 s, 6 s"),
            (
                [{"words": ["on-delay 5 s"], "become": ["on-delay 8 s", "off-delay 8 s"]}],
                "on-delay 5 s can only become a setting of the same function",
            ),
            ([{"words": ["up 3"], "become": ["four"]}], "up 3 can only become a setting of the same function"),
            (
                [{"words": ["S1"], "become": ["S1", "S2"]}, {"words": ["S3"], "become": ["S2", "S3"]}],
                "pools 1 and 2 both have this word; join them. Given: 'S2'",
            ),
            ([{"words": ["(x)"], "become": ["y"]}], "begins and ends with a letter or a digit"),
        ],
    )
    def test_a_mistake_is_named(self, pools, rule):
        with pytest.raises(LadderError, match=rule):
            read_pools("lab02, variants.toml", {"pool": pools})

    def test_a_time_may_become_another_of_the_same_function(self):
        assert read_pools("x", {"pool": [{"words": ["on-delay 5 s"], "become": ["on-delay 5 s", "on-delay 2 min"]}]})


class TestCheckPools:
    def test_a_word_that_is_nowhere_is_named(self):
        with pytest.raises(LadderError, match=r"pool 1: no such whole word in the lab\. Given: 'S2'"):
            check_pools("lab02", POOLS, ["S1 and S22, 5 s, 6 s"])

    def test_a_target_that_stands_for_something_else_is_named(self):
        with pytest.raises(LadderError, match="S1 and S2 may become a word that stands in the lab for something else"):
            check_pools("lab02", POOLS, ["S1, S2, 5 s, 6 s", "S3 in a sample answer"])

    def test_a_designation_within_a_longer_word_is_named(self):
        with pytest.raises(LadderError, match=r"stands within a longer word.*Given: 'S1-contact'"):
            check_pools("lab02", POOLS, ["S1, S2, 5 s, 6 s, the S1-contact"])

    def test_a_sound_text_passes(self):
        check_pools("lab02", POOLS, ["S1, S2 after 5 s", "or 6 s, see S1.svg"])
