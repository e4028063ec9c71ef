"""Reading structured text: only what is written, with the line, the rule, what was found and what is legal."""

import random
import re

import pytest

from exchange.mill import everything, wash_pump
from exchange.samples import at_random
from rungbook import Device, LadderError
from rungbook.exchange import read_structured_text, structured_text

PUMP = structured_text(wash_pump())
ALL = structured_text(everything())


def without_comments(text: str) -> str:
    return re.sub(r"\(\*.*?\*\)", "", text)


class TestRead:
    def test_capital_letters_and_blanks_do_not_matter(self) -> None:
        assert read_structured_text(PUMP.replace("AND", "and").replace("Q1 :=", "q1\n\t:=")) == wash_pump()

    def test_without_comments_the_circuit_is_still_read(self) -> None:
        bare = read_structured_text(without_comments(PUMP))
        assert [rung.contacts for rung in bare.rungs] == [rung.contacts for rung in wash_pump().rungs]
        assert (bare.title, bare.rungs[0].note, bare.rungs[1].loads[0].colour) == ("", "", "")

    def test_without_comments_timers_are_told_by_their_blocks(self) -> None:
        ladder = at_random()[3]
        bare = read_structured_text(without_comments(structured_text(ladder)))
        settings = {tag: device.setting for tag, device in ladder.devices.items() if device.setting}
        assert settings
        assert {tag: device.setting for tag, device in bare.devices.items() if device.setting} == settings

    def test_the_wiring_is_read_from_the_value_at_rest(self) -> None:
        assert read_structured_text(structured_text(wash_pump(), {"S1": "NO", "S2": "NC"})) == wash_pump()

    def test_devices_and_plates_come_back(self) -> None:
        found = read_structured_text(ALL)
        assert found.declared is not None
        assert found.declared[0] == Device("S1", "emergency stop", "red", 'all "off" (* now *)')


# what is put in the place of what -> what is told
CHANGES = [
    (PUMP, "Q1 := S1 AND", "Q1 := S1 XOR", "line 13: something else stands here. Given: 'XOR'. Choices: ;."),
    (PUMP, "Q1 := S1 AND", "Q1 := 3 AND", "line 13: AND takes operands of one type"),
    (PUMP, "Q1 := S1 AND", "Q1 := S5 AND", "line 13: no variable of this name is declared. Given: 'S5'"),
    (PUMP, "Q1 := S1 AND", "Q1 := NOT NOT S1 AND", "line 13: a way through contacts is made of AND, OR, and NOT"),
    (PUMP, "Q1 := S1 AND", "Q5 := S1 AND", "line 13: no variable of this name is declared. Given: 'Q5'"),
    (PUMP, "Q1 := S1 AND", "S1 := S1 AND", "line 13: no coil, lamp or input of a block is declared by this name"),
    (PUMP, "P1 := Q1;", "Q1 := Q1;", "line 16, Rung 2: coil Q1 already ends rung 1"),
    (PUMP, "P1 := Q1;", "P1 := Q1", "something else stands here. Given: 'END_PROGRAM'. Choices: ;."),
    (PUMP, "P1 := Q1;", "IF Q1 THEN P1 := TRUE; END_IF;", "line 16: no statement of a ladder. Given: 'IF'"),
    (PUMP, "%IX0.1", "%IX0.0", "line 7: not as this room writes the ladder that was read so far. Given: '%IX0.0'"),
    (PUMP, "%IX0.1", "%MX0.1", "line 7: no part of this subset of structured text. Given: '%MX0.1 : BOOL"),
    (PUMP, "BOOL := TRUE", "BOOL", "line 6: an input has what it reads at rest as its initial value"),
    (PUMP, "BOOL := TRUE", "WORD", "line 6: no such type. Given: 'WORD'"),
    (PUMP, "S2 AT %IX0.1", "S1 AT %IX0.1", "line 7: S1 is declared twice"),
    (PUMP, "(S2 OR Q1)", "((S2 OR Q1))", "line 13: not as this room writes"),
    (PUMP, "(S2 OR Q1)", "(" * 99 + "S2" + ")" * 99, "line 13: at most 44 levels of parentheses"),
    (PUMP, "(* Rung 1", "(* (* Rung 1", "line 12: a comment ends with *) before another one begins"),
    (PUMP, "END_PROGRAM", "", "Given: 'the end of the text'. Choices: NAME := …;"),
    (PUMP, "END_PROGRAM", "END_PROGRAM PROGRAM", "the program is the last unit. Given: 'PROGRAM'"),
    (
        PUMP,
        "PROGRAM CONTROL",
        "PROGRAM OTHER",
        "not as this room writes the ladder that was read so far. Given: 'OTHER'",
    ),
    (PUMP, "Lens: P1 green", "Lens: P1 pink", "line 16, lamp('P1'): unknown colour of a lamp"),
    (ALL, "PT := T#500ms", "PT := T#600ms", "Given: 'T#600ms'. Choices: T#500ms."),
    (ALL, "PT := T#500ms", "PT := 3", "a value of type TIME stands here. Given: 'INT'"),
    (ALL, "K16 : FLASH", "K16 : BLINK", "no such type. Given: 'BLINK'"),
    (ALL, "K16 : FLASH", "K16 : TON", "Choices: FLASH"),
    (
        ALL,
        "IN AND NOT LIGHT.Q",
        "IN OR NOT LIGHT.Q",
        "not as this room writes the ladder that was read so far. Given: 'OR'",
    ),
    (ALL, "DARK.Q", "DARK.QQ", "DARK has no output of this name. Given: 'DARK.QQ'. Choices: Q, ET."),
    (ALL, "LIGHT : TON", "LIGHT : FLASH", "no such type. Given: 'FLASH'"),
    (ALL, "K16(IN := K16_IN, ", "K16(", "K16 is called with each of its inputs once. Given: 'PT'. Choices: IN, PT."),
    (
        ALL,
        "Terminals: S1 21-22",
        "Terminals: S2 21-22",
        "the list of terminals names each contact and load of its rung",
    ),
    (ALL, "Device S2: push button", "Device S2: press button", "no line of a device"),
    (ALL, "S3_13_14 AND", "NOT S3_13_14 AND", "a contact on terminals of its own is read as it is"),
]


class TestRefused:
    @pytest.mark.parametrize(("text", "old", "new", "told"), CHANGES, ids=range(len(CHANGES)))
    def test_a_text_that_is_not_ours_with_the_line(self, text: str, old: str, new: str, told: str) -> None:
        assert old in text
        with pytest.raises(LadderError) as wrong:
            read_structured_text(text.replace(old, new, 1))
        assert told in str(wrong.value)
        assert wrong.value.thing.startswith("line "), wrong.value

    @pytest.mark.parametrize(
        "text", [None, 3, b"PROGRAM", "", "\x00", "PROGRAM", "(*", "é", "PROGRAM CONTROL END_PROGRAM"]
    )
    def test_what_is_no_program(self, text: object) -> None:
        with pytest.raises(LadderError):
            read_structured_text(text)

    def test_a_text_that_is_too_long(self) -> None:
        with pytest.raises(LadderError, match="at most 1000000 characters"):
            read_structured_text(" " * 1_000_001)

    def test_a_time_of_absurd_length(self) -> None:
        with pytest.raises(LadderError):
            read_structured_text(ALL.replace("T#500ms", "T#" + "9" * 5000 + "ms"))

    def test_any_text_with_pieces_changed_is_read_or_refused_in_so_many_words(self) -> None:
        chance = random.Random(7)
        words = ALL.split(" ")
        read = 0
        for _ in range(200):
            torn = list(words)
            for _ in range(chance.randint(1, 3)):
                torn[chance.randrange(len(torn))] = chance.choice((*words, "", ";", "((", "T#1h", "%IX0.0", "*)", "$"))
            try:
                read_structured_text(" ".join(torn))
                read += 1
            except LadderError:
                pass
        assert 0 < read < 200
