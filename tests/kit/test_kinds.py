import pytest

from rungbook.kit import KIND_OF_LETTER, KINDS, NC_KIND, NO_KIND

WITH_CONTACTS = [kind for kind in KINDS.values() if kind.closed]
OPERATED = [kind for kind in KINDS.values() if kind.operated]


class TestContacts:
    @pytest.mark.parametrize("kind", WITH_CONTACTS, ids=lambda kind: kind.name)
    def test_a_normally_closed_contact_is_closed_at_rest_and_a_normally_open_one_away_from_it(self, kind):
        away = set(kind.positions[1:])
        assert kind.closed[NC_KIND] == {kind.rest}
        assert kind.closed[NO_KIND] == away

    def test_lamps_and_motors_have_no_contacts(self):
        assert [kind.name for kind in KINDS.values() if not kind.closed] == ["pilot lamp", "motor"]


class TestMoves:
    def test_what_a_person_or_the_plant_moves(self):
        assert {kind.name: [(move.start, move.end, move.order) for move in kind.moves] for kind in OPERATED} == {
            "push button": [("released", "pressed", "press {tag}"), ("pressed", "released", "let {tag} go")],
            "two-position selector": [("off", "on", "turn {tag} on"), ("on", "off", "turn {tag} off")],
            "emergency stop": [("reset", "latched", "strike {tag}"), ("latched", "reset", "unlatch {tag}")],
            "limit switch": [("free", "reached", "reach {tag}"), ("reached", "free", "leave {tag}")],
            "overload relay": [("set", "tripped", "trip {tag}"), ("tripped", "set", "reset {tag}")],
        }

    @pytest.mark.parametrize("kind", OPERATED, ids=lambda kind: kind.name)
    def test_every_position_can_be_entered_and_left(self, kind):
        assert {move.start for move in kind.moves} == set(kind.positions)
        assert {move.end for move in kind.moves} == set(kind.positions)

    @pytest.mark.parametrize("kind", OPERATED, ids=lambda kind: kind.name)
    def test_no_two_orders_of_a_kind_read_the_same(self, kind):
        orders = [move.order.format(tag="S1") for move in kind.moves]
        assert len(set(orders)) == len(orders)

    def test_orders_are_told_apart_by_all_kinds_of_one_letter(self):
        for letter in KIND_OF_LETTER:
            orders = [move.order for kind in KINDS.values() if kind.letter == letter for move in kind.moves]
            assert len(set(orders)) == len(orders)

    def test_only_the_push_button_springs_back(self):
        assert [kind.name for kind in KINDS.values() if kind.momentary] == ["push button"]


class TestLoads:
    def test_contactor_and_relay_have_coils_and_a_lamp_is_a_lamp(self):
        loads = {kind.name: kind.load for kind in KINDS.values() if kind.load}
        assert loads == {"contactor": "coil", "control relay": "coil", "pilot lamp": "lamp"}

    def test_a_load_is_not_moved_by_hand(self):
        assert not any(kind.load and kind.operated for kind in KINDS.values())


class TestTable:
    def test_the_kinds_cannot_be_changed(self):
        with pytest.raises(TypeError):
            KINDS["lever"] = KINDS["motor"]

    def test_the_usual_kind_of_a_letter_has_that_letter(self):
        assert all(KINDS[name].letter == letter for letter, name in KIND_OF_LETTER.items())
