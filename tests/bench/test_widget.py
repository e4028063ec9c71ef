"""The bench in a notebook, kernel side: wishes in, state out."""

import json

from rungbook.bench.model import BenchModel
from rungbook.bench.widget import Bench
from rungbook.circuit import NO, Ladder, coil, lamp


def pump():
    ladder = Ladder("Wash pump")
    ladder.rung(NO("S1"), coil("Q1"))
    ladder.rung(NO("Q1"), lamp("P1"))
    return Bench(BenchModel(ladder))


def wish(widget, do, **about):
    """Send a wish as the front end does, and return the state."""
    widget._received(None, {"do": do, "view": "v", "number": 1, **about}, [])
    return widget.state


class TestWishes:
    def test_an_order_is_answered_by_the_state_with_its_number(self):
        state = wish(pump(), "order", device="S1", to="pressed", at=1.0)
        assert (state["seen"], state["positions"]["Q1"]) == (["v", 1], "in")

    def test_one_that_does_not_exist_is_refused_in_words(self):
        state = wish(pump(), "dance")
        assert state["refused"].startswith("bench: no such wish of a front end. Given: 'dance'")

    def test_a_nudge_asks_for_nothing(self):
        widget = pump()
        before = widget.state
        widget._received(None, {"do": "nudge"}, [])
        assert widget.state is before


class TestSent:
    def test_what_changes_goes_to_the_browser_as_texts_of_json(self):
        widget = pump()
        wish(widget, "order", device="S1", to="pressed", at=1.0)
        sent = {name: json.loads(text) for name, text in widget.get_state(["state", "classes", "trace"]).items()}
        assert sent["state"] == widget.state
        assert "carries" in sent["classes"].values()
        assert [row[2] for row in sent["trace"]["rows"]] == ["S1 pressed", "Q1 in", "P1 lit"]
