"""Contact charts: an X where a contact is closed, in the table, the picture and the words."""

from __future__ import annotations

import pytest

from rungbook import Device, LadderError, draw
from rungbook.drawing import contact_chart
from rungbook.drawing.contact_charts import CLOSED
from rungbook.drawing.tables import grid_of, layout
from rungbook.kit import ALL_KINDS, TRAINING_KIT, fit

from .figures import check_figure, groups, words

WITH_CONTACTS = (
    "push button",
    "two-position selector",
    "emergency stop",
    "limit switch",
    "overload relay",
    "contactor",
    "control relay",
    "three-position selector",
    "manual motor starter",
    "fuse",
    "timer relay",
    "counter",
    "soft starter",
    "drive",
)


class TestCharts:
    def test_a_three_position_selector(self) -> None:
        chart = contact_chart(Device("S5", "three-position selector", label="hand or automatic"))
        assert chart.name == "S5 (hand or automatic), three-position selector"
        assert (chart.head, chart.rows) == (
            ("contact", "kind", "off (at rest)", "left", "right"),
            (
                ("13-14", "NO", "–", "X", "–"),
                ("23-24", "NO", "–", "–", "X"),
                ("31-32", "NC", "X", "–", "X"),
                ("41-42", "NC", "X", "X", "–"),
            ),
        )

    def test_an_emergency_stop_with_its_signal_contact(self) -> None:
        chart = contact_chart(fit("emergency stop", "emergency stop signal 1 NO"))
        assert [(row[0], *row[2:]) for row in chart.rows] == [
            ("11-12", "X", "–"),
            ("21-22", "X", "–"),
            ("33-34", "–", "X"),
        ]

    def test_an_overload_relay_opens_95_96_and_closes_97_98_when_it_trips(self) -> None:  # check values, row 7.8
        chart = contact_chart("overload relay")
        assert chart.positions == ("set", "tripped")
        assert chart.rows == (("95-96", "NC", "X", "–"), ("97-98", "NO", "–", "X"))

    def test_a_manual_starter_tells_a_trip_from_off(self) -> None:
        rows = {row[0]: row[2:] for row in contact_chart("manual motor starter").rows}
        assert rows == {"13-14": ("–", "X", "–"), "21-22": ("X", "–", "X"), "97-98": ("–", "–", "X")}

    def test_a_timer_tells_its_timed_contacts_from_the_others(self) -> None:
        chart = contact_chart(Device("K4", "timer relay", setting="on-delay 5 s"))
        assert [row[:2] for row in chart.rows] == [
            ("15-16", "NC, timed"),
            ("15-18", "NO, timed"),
            ("21-22", "NC"),
            ("21-24", "NO"),
        ]
        assert chart.note == "Timed contacts change with the timer, the others at once with the coil."
        assert chart.name == "K4, timer relay, on-delay 5 s"

    @pytest.mark.parametrize("kind", WITH_CONTACTS)
    def test_picture_table_and_words_say_the_same(self, kind: str) -> None:
        chart = contact_chart(kind)
        picture = draw(chart)
        rows = tuple(tuple(words(group)) for group in groups(picture.svg, "row"))
        assert rows == chart.rows
        spec = ALL_KINDS[kind]
        for block, row, sentence in zip(chart.contacts, rows, chart.sentences, strict=True):
            marks = [cell == CLOSED for cell in row[2:]]
            assert marks == [place in spec.closed_in(block.kind, block.terminals) for place in spec.positions]
            assert sentence in picture.description
            told = sentence.removesuffix(".").split("closed in position ")[1].split(" and ")
            assert told == [place for place, closed in zip(spec.positions, marks, strict=True) if closed]
            assert f'<td style="text-align:left;padding:0.1em 0.8em 0.1em 0.3em">{row[0]}</td>' in chart._repr_html_()
        check_figure(layout(grid_of(chart)))

    def test_each_device_of_the_kit_that_has_contacts_has_a_chart(self) -> None:
        for fitted in TRAINING_KIT.devices.values():
            if any(block.closed for block in fitted.contacts):
                assert len(contact_chart(fitted).rows) == len(fitted.contacts)


class TestBadInput:
    @pytest.mark.parametrize("thing", ["pilot lamp", "motor", Device("P1"), TRAINING_KIT.devices["T1"]])
    def test_what_has_no_contacts_has_no_chart(self, thing: object) -> None:
        with pytest.raises(LadderError, match="has no contacts with a chart") as caught:
            contact_chart(thing)  # type: ignore[arg-type]
        assert caught.value.choices == WITH_CONTACTS

    @pytest.mark.parametrize("thing", ["knob", 3, None])
    def test_what_is_no_device_is_refused(self, thing: object) -> None:
        with pytest.raises(LadderError, match="takes a device, one of a kit, or a kind"):
            contact_chart(thing)  # type: ignore[arg-type]
