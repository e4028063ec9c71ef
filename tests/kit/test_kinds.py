import pytest

from rungbook.kit import ALL_KINDS, KIND_OF_LETTER, KINDS, MORE_KINDS, NC_KIND, NO_KIND

WITH_CONTACTS = [kind for kind in KINDS.values() if kind.closed]
OPERATED = [kind for kind in KINDS.values() if kind.operated]
ALL_OPERATED = [kind for kind in ALL_KINDS.values() if kind.operated]


class TestContacts:
    @pytest.mark.parametrize("kind", WITH_CONTACTS, ids=lambda kind: kind.name)
    def test_a_normally_closed_contact_is_closed_at_rest_and_a_normally_open_one_away_from_it(self, kind):
        away = set(kind.positions[1:])
        assert kind.closed[NC_KIND] == {kind.rest}
        assert kind.closed[NO_KIND] == away

    def test_lamps_and_motors_have_no_contacts(self):
        assert [kind.name for kind in KINDS.values() if not kind.closed] == [
            "pilot lamp",
            "motor",
            "control transformer",
        ]


class TestMoves:
    def test_what_a_person_or_the_plant_moves(self):
        assert {kind.name: [(move.start, move.end, move.order) for move in kind.moves] for kind in OPERATED} == {
            "push button": [("released", "pressed", "press {tag}"), ("pressed", "released", "let {tag} go")],
            "two-position selector": [("off", "on", "turn {tag} on"), ("on", "off", "turn {tag} off")],
            "emergency stop": [("reset", "latched", "strike {tag}"), ("latched", "reset", "unlatch {tag}")],
            "limit switch": [("free", "reached", "reach {tag}"), ("reached", "free", "leave {tag}")],
            "overload relay": [("set", "tripped", "trip {tag}"), ("tripped", "set", "reset {tag}")],
        }

    @pytest.mark.parametrize("kind", ALL_OPERATED, ids=lambda kind: kind.name)
    def test_every_position_can_be_entered_and_left(self, kind):
        assert {move.start for move in kind.moves} == set(kind.positions)
        assert {move.end for move in kind.moves} == set(kind.positions)

    @pytest.mark.parametrize("kind", ALL_OPERATED, ids=lambda kind: kind.name)
    def test_no_two_orders_of_a_kind_read_the_same(self, kind):
        orders = [move.order.format(tag="S1") for move in kind.moves]
        assert len(set(orders)) == len(orders)

    def test_orders_are_told_apart_by_all_kinds_of_one_letter(self):
        for letter in KIND_OF_LETTER:
            orders = [move.order for kind in ALL_KINDS.values() if kind.letter == letter for move in kind.moves]
            assert len(set(orders)) == len(orders)

    def test_only_the_push_button_springs_back(self):
        assert [kind.name for kind in ALL_KINDS.values() if kind.momentary] == ["push button"]


class TestLoads:
    def test_contactor_and_relay_have_coils_and_a_lamp_is_a_lamp(self):
        loads = {kind.name: kind.load for kind in KINDS.values() if kind.load}
        assert loads == {"contactor": "coil", "control relay": "coil", "pilot lamp": "lamp"}

    def test_a_load_is_not_moved_by_hand(self):
        assert not any(kind.load and kind.operated for kind in ALL_KINDS.values())


class TestTable:
    def test_the_kinds_cannot_be_changed(self):
        with pytest.raises(TypeError):
            KINDS["lever"] = KINDS["motor"]

    def test_the_usual_kind_of_a_letter_has_that_letter(self):
        assert all(KINDS[name].letter == letter for letter, name in KIND_OF_LETTER.items())

    def test_a_kind_stands_in_one_of_the_two_tables(self):
        assert not set(KINDS) & set(MORE_KINDS)
        assert dict(ALL_KINDS) == dict(KINDS) | dict(MORE_KINDS)


class TestKindsOfMorePositions:
    def test_a_kind_is_at_rest_in_its_first_position(self):
        assert {kind.name: (kind.letter, kind.rest, kind.positions[1:]) for kind in MORE_KINDS.values()} == {
            "three-position selector": ("S", "off", ("left", "right")),
            "manual motor starter": ("Q", "off", ("on", "tripped")),
            "fuse": ("F", "intact", ("blown",)),
            "timer relay": ("K", "out", ("in",)),
            "counter": ("K", "out", ("in",)),
            "soft starter": ("Q", "stopped", ("ramping", "running", "fault")),
            "drive": ("T", "stopped", ("running", "fault")),
            "programmable relay": ("K", "stopped", ("running",)),
        }

    def test_time_or_a_program_moves_these_and_no_others(self):
        assert [kind.name for kind in ALL_KINDS.values() if kind.timed] == [
            "timer relay",
            "counter",
            "soft starter",
            "drive",
            "programmable relay",
        ]

    def test_every_position_of_a_contact_is_one_of_its_kind(self):
        for kind in ALL_KINDS.values():
            for positions in (*kind.closed.values(), *kind.chart.values()):
                assert positions <= set(kind.positions), kind.name


class TestChart:
    @pytest.mark.parametrize(
        ("contact", "terminals", "positions"),
        [
            ("NO", "13-14", {"left"}),
            ("NO", "23-24", {"right"}),
            ("NC", "31-32", {"off", "right"}),
            ("NC", "41-42", {"left", "off"}),
            ("NO", "", {"left", "right"}),
            ("NC", "", {"off"}),
            ("NO", "53-54", {"left", "right"}),
        ],
    )
    def test_terminals_come_before_the_kind_of_contact(self, contact, terminals, positions):
        assert ALL_KINDS["three-position selector"].closed_in(contact, terminals) == positions

    @pytest.mark.parametrize("kind", WITH_CONTACTS, ids=lambda kind: kind.name)
    def test_a_kind_without_a_chart_goes_by_the_kind_of_contact_alone(self, kind):
        assert kind.closed_in("NO", "13-14") == kind.closed["NO"]
        assert kind.closed_in("NC") == kind.closed["NC"]

    def test_a_kind_without_contacts_has_none_closed(self):
        assert ALL_KINDS["motor"].closed_in("NO") == frozenset()

    def test_a_normally_closed_contact_is_closed_at_rest_and_a_normally_open_one_open(self):
        for kind in ALL_KINDS.values():
            for terminals, positions in kind.chart.items():
                normally_closed = terminals.endswith(("2", "6"))
                assert (kind.rest in positions) == normally_closed, (kind.name, terminals)

    def test_a_tripped_starter_is_neither_on_nor_off_for_its_trip_contact(self):
        starter = ALL_KINDS["manual motor starter"]
        assert starter.closed_in("NO", "97-98") == {"tripped"}
        assert starter.closed_in("NO", "13-14") == {"on"}
        assert starter.closed_in("NC", "21-22") == {"off", "tripped"}
