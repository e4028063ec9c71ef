"""A kit piece by piece."""

import pytest

from rungbook.errors import LadderError
from rungbook.kit import TRAINING_KIT, Kit, fit
from rungbook.kit.ledger import Piece, pieces


class TestPieces:
    def test_are_devices_each_followed_by_its_accessories(self):
        kit = Kit(
            "small", {"Q9": fit("manual motor starter", "starter auxiliary 1 NO + 1 NC"), "S1": fit("push button")}
        )
        assert [(piece.name, piece.model) for piece in pieces(kit)] == [
            ("Q9", "manual motor starter"),
            ("Q9 starter auxiliary 1 NO + 1 NC", "starter auxiliary 1 NO + 1 NC"),
            ("S1", "push button"),
        ]

    def test_an_accessory_on_two_devices_is_one_piece(self):
        kit = Kit("pair", {tag: fit("contactor", "mechanical interlock") for tag in ("Q1", "Q2", "Q3", "Q4")})
        assert [piece.name for piece in pieces(kit)] == [
            "Q1",
            "Q1+Q2 mechanical interlock",
            "Q2",
            "Q3",
            "Q3+Q4 mechanical interlock",
            "Q4",
        ]

    def test_of_the_training_kit_have_names_of_their_own(self):
        names = [piece.name for piece in pieces(TRAINING_KIT)]
        assert len(names) == len(set(names)) > len(TRAINING_KIT.devices)

    def test_of_something_else_are_refused(self):
        with pytest.raises(LadderError, match="lists what a Kit holds"):
            pieces("training kit")

    @pytest.mark.parametrize(
        ("name", "model", "rule"),
        [("", "contactor", "one line"), ("Q1\nQ2", "contactor", "one line"), ("Q1", "relay", "no such model")],
    )
    def test_malformed_are_refused(self, name, model, rule):
        with pytest.raises(LadderError, match=rule):
            Piece(name, model)
