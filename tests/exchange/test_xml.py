"""XML in the manner of IEC 61131-10: what is written, that it fits a schema of our own, and what is refused."""

import random
from pathlib import Path
from xml.etree import ElementTree as ET

import pytest
from xmlschema import XMLSchema, XMLSchemaException

from exchange.mill import everything, wash_pump
from exchange.samples import at_random, of_labs, of_the_trade
from rungbook import LadderError
from rungbook.exchange import ladder_xml, read_ladder_xml, structured_text
from rungbook.exchange.ladder_xml import INSTANCE, SPACE
from rungbook.exchange.markup import read_markup

SCHEMA = XMLSchema(Path(__file__).parent / "ladder.xsd")
PUMP = ladder_xml(wash_pump())
ALL = ladder_xml(everything())
NAMES = {"p": SPACE}


def rungs(text: str) -> list[ET.Element]:
    return ET.fromstring(text).findall(".//p:Rung", NAMES)


def objects(rung: ET.Element, kind: str) -> list[ET.Element]:
    return [one for one in rung if one.get(f"{{{INSTANCE}}}type") == kind]


class TestWhatIsWritten:
    def test_contacts_stand_in_reading_order_and_none_is_negated(self) -> None:
        first, _ = rungs(PUMP)
        assert [one.get("operand") for one in objects(first, "Contact")] == ["S1", "S2", "Q1", "F1"]
        assert [one.get("negated") for one in objects(first, "Contact")] == [None] * 4
        assert [one.get("operand") for one in objects(first, "Coil")] == ["Q1"]

    def test_parallel_branches_begin_and_end_at_the_same_points(self) -> None:
        first, _ = rungs(PUMP)
        s1, s2, q1, f1 = objects(first, "Contact")

        def sources(one: ET.Element) -> list[str]:
            return [c.get("refConnectionPointOutId") for c in one.findall(".//p:Connection", NAMES)]

        def point(one: ET.Element) -> str:
            return one.find("p:ConnectionPointOut", NAMES).get("connectionPointOutId")

        assert sources(s2) == sources(q1) == [point(s1)]
        assert sources(f1) == [point(s2), point(q1)]

    def test_a_break_contact_of_a_relay_is_negated(self) -> None:  # check values 9.20, from memory
        found = [one for rung in rungs(ALL) for one in objects(rung, "Contact") if one.get("negated")]
        assert ("K17.Q", "true") in [(one.get("operand"), one.get("negated")) for one in found]

    def test_loads_side_by_side_are_coils_at_one_point_and_need_no_variable_between(self) -> None:
        first = rungs(ALL)[0]
        assert [one.get("operand") for one in objects(first, "Coil")] == ["Q1", "K1", "P1"]
        assert len({ET.tostring(one.find("p:ConnectionPointIn", NAMES)) for one in objects(first, "Coil")}) == 1
        assert "RUNG1" not in ALL

    def test_rungs_are_numbered_in_the_order_of_evaluation_as_the_text_has_them(self) -> None:
        assert [rung.get("evaluationOrder") for rung in rungs(ALL)] == [str(n) for n in range(1, len(rungs(ALL)) + 1)]
        calls = [
            line.strip().partition("(")[0] for line in structured_text(everything()).splitlines() if "PT :=" in line
        ]
        blocks = [one.get("instanceName") for rung in rungs(ALL) for one in objects(rung, "Block")]
        assert blocks[:7] == [name for name in calls if name.startswith("K1")]


class TestSchema:
    @pytest.mark.parametrize("many", [of_labs, of_the_trade, at_random])
    def test_every_document_fits(self, many: object) -> None:
        for ladder in many()[:70]:
            SCHEMA.validate(ladder_xml(ladder))

    @pytest.mark.parametrize(
        ("old", "new"),
        [
            ('operand="Q1"', 'operandus="Q1"'),
            ('refConnectionPointOutId="2"', 'refConnectionPointOutId="99"'),
            ('xsi:type="Contact"', 'xsi:type="Kontact"'),
            ("<Type>", "<Typ>"),
            ('evaluationOrder="2"', 'evaluationOrder="1"'),
            ('address="%IX0.0"', 'address="IX0.0"'),
            ('xsi:type="LD"', 'xsi:type="FBD"'),
        ],
    )
    def test_a_document_with_a_fault_does_not(self, old: str, new: str) -> None:
        assert old in PUMP
        broken = PUMP.replace(old, new).replace("</Type>", "</Typ>" if new == "<Typ>" else "</Type>")
        with pytest.raises(XMLSchemaException):
            SCHEMA.validate(broken)


def nested(deep: int) -> str:
    return f'<Project xmlns="{SPACE}">' + "<a>" * deep + "</a>" * deep + "</Project>"


BILLION = '<?xml version="1.0"?><!DOCTYPE x [<!ENTITY a "ha"><!ENTITY b "&a;&a;&a;">]><Project>&b;</Project>'
OUTSIDE = '<!DOCTYPE x SYSTEM "file:///etc/hostname"><Project/>'
CHANGES = [
    ("<Program ", '<Program edge="rising" ', "not as this room writes the ladder that was read"),
    ('operand="S2"', 'operand="S2" negated="true"', ""),
    ('operand="S2"', 'operand="S2" edge="rising"', "a contact that sees edges is no contact of a relay"),
    ('operand="S2"', 'operand="S2" negated="1"', "negated or not. Given: '1'"),
    ('operand="S2"', 'operand="S8"', "no variable of this name is declared. Given: 'S8'"),
    ('operand="S2"', 'wire="S2"', "LdObject has the attribute operand"),
    ('xsi:type="Coil"', 'xsi:type="Jump"', "Given: 'none'. Choices: Coil."),
    ('refConnectionPointOutId="1"', 'refConnectionPointOutId="77"', "a connection comes from a point of this rung"),
    ('value="TRUE"', 'value="1"', "an initial value of an input. Given: '1'"),
    ('address="%IX0.1"', 'address="%IX0.0"', "not as this room writes the ladder that was read"),
    ("</Rung>", "<VendorElement/></Rung>", "Given: '<VendorElement>'. Choices: the end of Rung."),
    ('xsi:type="LD"', 'xsi:type="SFC"', "the body of the program is a ladder. Given: 'SFC'. Choices: LD."),
    (SPACE, "urn:other", "the namespace of such a document. Given: 'urn:other'"),
    ("<Types>", "<Types/><Types>", "Project has one Types. Given: 2"),
    ('productName="Rungbook"', 'productName="Other"', ""),
]


class TestRead:
    @pytest.mark.parametrize(("old", "new", "told"), CHANGES, ids=range(len(CHANGES)))
    def test_a_document_that_is_not_ours_is_refused_with_the_line(self, old: str, new: str, told: str) -> None:
        text = PUMP.replace(old, new, 1)
        if not told:
            assert read_ladder_xml(text).rungs
            return
        assert old in PUMP
        with pytest.raises(LadderError) as wrong:
            read_ladder_xml(text)
        assert told in str(wrong.value)
        assert wrong.value.thing.startswith("line ")

    def test_a_negated_contact_of_an_input_is_the_other_contact(self) -> None:
        text = PUMP.replace('operand="S2"', 'operand="S2" negated="true"', 1)
        assert repr(read_ladder_xml(text).rungs[0].contacts) == "NC('S1') & (NC('S2') | NO('Q1')) & NC('F1')"

    def test_positions_and_the_product_carry_no_meaning(self) -> None:
        text = PUMP.replace('y="1"', 'y="7.5"').replace('productName="Rungbook"', 'productName="x"')
        assert read_ladder_xml(text) == wash_pump()

    def test_a_bridge_between_branches_is_no_series_and_parallel(self) -> None:
        # F1 is fed by S1 too, beside S2 and Q1
        text = PUMP.replace(
            '<Connection refConnectionPointOutId="3" />',
            '<Connection refConnectionPointOutId="3" /><Connection refConnectionPointOutId="2" />',
            1,
        )
        assert text != PUMP
        with pytest.raises(LadderError, match="a point feeds in two companies"):
            read_ladder_xml(text)


class TestHardened:
    @pytest.mark.parametrize("text", [BILLION, OUTSIDE])
    def test_a_document_type_is_refused_before_anything_of_it_is_read(self, text: str) -> None:
        with pytest.raises(LadderError, match=r"line 1: a document type has no place here\. Given: '<!DOCTYPE x'"):
            read_ladder_xml(text)

    @pytest.mark.parametrize("text", ["<?php x?><Project/>", '<?xml-stylesheet href="x"?><Project/>'])
    def test_an_instruction_is_refused(self, text: str) -> None:
        with pytest.raises(LadderError, match="instructions and entities have no place here"):
            read_ladder_xml(text)

    def test_depth_is_bounded(self) -> None:
        with pytest.raises(LadderError, match="at most 30 elements within one another"):
            read_ladder_xml(nested(30))
        assert read_markup(nested(29)).tag == "Project"

    def test_the_number_of_elements_is_bounded(self) -> None:
        with pytest.raises(LadderError, match="at most 100000 elements"):
            read_ladder_xml(f"<Project>{'<a/>' * 100_000}</Project>")

    def test_length_is_bounded(self) -> None:
        with pytest.raises(LadderError, match="at most 4000000 characters"):
            read_ladder_xml(" " * 4_000_001)

    @pytest.mark.parametrize(
        "text", [None, b"<Project/>", "", "<", "<a>", "<a></b>", "<a b='1' b='2'/>", "\x00", "\ud800", "&x;"]
    )
    def test_what_is_no_xml(self, text: object) -> None:
        with pytest.raises(LadderError):
            read_ladder_xml(text)

    def test_another_document_says_what_is_expected(self) -> None:
        with pytest.raises(LadderError, match=r"line 1: the outermost element of such a document\. Given: 'html'"):
            read_ladder_xml("<html/>")

    def test_any_document_with_pieces_changed_is_read_or_refused_in_so_many_words(self) -> None:
        chance = random.Random(7)
        words = ALL.split(" ")
        read = 0
        for _ in range(80):
            torn = list(words)
            for _ in range(chance.randint(1, 2)):
                torn[chance.randrange(len(torn))] = chance.choice((*words, "", "<", "/>", '"', "&lt;", 'operand="Q1"'))
            try:
                read_ladder_xml(" ".join(torn))
                read += 1
            except LadderError:
                pass
        assert 0 < read < 80
