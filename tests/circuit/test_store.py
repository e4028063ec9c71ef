import json

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from rungbook import NC, NO, Device, Ladder, LadderError, coil, count_down, from_json, lamp, reset, to_json
from strategies import ladders


@pytest.fixture
def pump():
    ladder = Ladder("Wash pump", [Device("S1", colour="red", label="stop"), *map(Device, ("S2", "F1", "Q1", "P1"))])
    ladder.rung(NC("S1", "21-22") & (NO("S2") | NO("Q1")) & NC("F1"), coil("Q1", "A1-A2"))
    ladder.rung(NO("Q1"), lamp("P1", "green"), note="running")
    return ladder


def data_of(ladder):
    return json.loads(to_json(ladder))


def refused(text):
    with pytest.raises(LadderError) as found:
        from_json(text if isinstance(text, str) else json.dumps(text))
    return found.value


class TestRoundTrip:
    @given(ladders())
    @settings(max_examples=150)
    def test_a_ladder_comes_back_equal_and_its_text_is_the_same_to_the_byte(self, ladder):
        text = to_json(ladder)
        back = from_json(text)
        assert back == ladder
        assert back.declared == ladder.declared
        assert dict(back.devices) == dict(ladder.devices)
        assert to_json(back) == text
        assert "\n" not in text

    def test_the_text_is_version_1_as_documented(self):
        ladder = Ladder("Wash pump")
        ladder.rung(NC("S1") & (NO("S2") | NO("Q1", "13-14")), coil("Q1"), lamp("P1", "green"), note="№ 1")
        assert to_json(ladder) == (
            '{"rungbook": "ladder", "version": 1, "title": "Wash pump", "devices": null, "rungs": [{"contacts": '
            '{"series": [{"NC": "S1"}, {"parallel": [{"NO": "S2"}, {"NO": "Q1", "terminals": "13-14"}]}]}, '
            '"loads": [{"coil": "Q1"}, {"lamp": "P1", "colour": "green"}], "note": "№ 1"}]}'
        )

    def test_a_ladder_without_rungs_is_kept_too(self):
        assert from_json(to_json(Ladder("later"))) == Ladder("later")

    def test_spaces_and_the_order_of_keys_do_not_matter(self, pump):
        turned = dict(reversed(data_of(pump).items()))
        assert from_json(json.dumps(turned, indent=2)) == pump

    def test_only_a_ladder_is_written(self):
        with pytest.raises(LadderError, match="to_json: writes a Ladder"):
            to_json({"rungbook": "ladder"})


class TestText:
    @pytest.mark.parametrize("text", [None, b"{}", {}, 5])
    def test_what_is_no_text_is_refused(self, text):
        with pytest.raises(LadderError, match="from_json: reads text"):
            from_json(text)

    def test_truncated_text_is_refused_at_every_length(self, pump):
        text = to_json(pump)
        for cut in range(len(text)):
            refused(text[:cut])

    def test_no_json_names_line_and_column(self):
        assert str(refused('{"rungbook":\n "ladder",}')) == (
            "from_json: no valid JSON at line 2, column 11: Expecting property name enclosed in double quotes."
        )

    def test_more_than_a_million_characters_are_refused(self):
        assert refused(" " * 1_000_001).rule == "at most 1000000 characters, this has 1000001"

    @pytest.mark.parametrize("sign", ["[", '{"a":'])
    def test_endless_nesting_is_refused(self, sign):
        assert refused(sign * 100_000).rule == "at most 20 levels of branches within branches"

    @pytest.mark.parametrize("word", ["NaN", "Infinity", "-Infinity"])
    def test_what_is_no_json_number_is_refused(self, pump, word):
        text = to_json(pump).replace('"version": 1', f'"version": {word}')
        assert refused(text).rule == f"{word} is no JSON number"

    def test_a_number_of_five_thousand_digits_is_refused(self, pump):
        text = to_json(pump).replace('"version": 1', f'"version": {"9" * 5000}')
        assert refused(text).thing == "from_json"

    def test_a_key_twice_in_one_object_is_refused_at_every_level(self, pump):
        text = to_json(pump)
        for key in ("version", "tag", "contacts", "series", "NC", "coil", "note"):
            doubled = text.replace(f'"{key}": ', f'"{key}": 1, "{key}": ', 1)
            assert refused(doubled).rule == f"key '{key}' stands twice in one object"


class TestKeys:
    @pytest.mark.parametrize("key", ["rungbook", "version", "title", "devices", "rungs"])
    def test_each_key_of_the_ladder_is_needed(self, pump, key):
        data = data_of(pump)
        del data[key]
        assert refused(data).rule == f"key '{key}' is missing"

    @pytest.mark.parametrize("key", ["contacts", "loads", "note"])
    def test_each_key_of_a_rung_is_needed(self, pump, key):
        data = data_of(pump)
        del data["rungs"][1][key]
        error = refused(data)
        assert (error.thing, error.rule) == ("from_json, rung 2", f"key '{key}' is missing")

    @pytest.mark.parametrize("key", ["tag", "kind", "colour", "label"])
    def test_each_key_of_a_device_is_needed(self, pump, key):
        data = data_of(pump)
        del data["devices"][0][key]
        error = refused(data)
        assert (error.thing, error.rule) == ("from_json, device 1", f"key '{key}' is missing")

    @pytest.mark.parametrize(
        "place",
        [
            lambda data: data,
            lambda data: data["devices"][0],
            lambda data: data["rungs"][0],
            lambda data: data["rungs"][0]["contacts"],
            lambda data: data["rungs"][0]["contacts"]["series"][0],
            lambda data: data["rungs"][0]["loads"][0],
        ],
    )
    def test_an_unknown_key_is_refused_everywhere(self, pump, place):
        data = data_of(pump)
        place(data)["extra"] = 1
        error = refused(data)
        assert (error.rule, error.value) == ("unknown key", "extra")

    @pytest.mark.parametrize("version", [0, 2, 1.0, "1", True, None, [1]])
    def test_another_version_is_refused(self, pump, version):
        assert refused(data_of(pump) | {"version": version}).rule == "unknown version of the ladder format"

    @pytest.mark.parametrize("name", ["sheet", None, 1, ["ladder"]])
    def test_what_is_no_ladder_is_refused(self, pump, name):
        assert refused(data_of(pump) | {"rungbook": name}).rule == "this is no ladder"


JUNK = (None, True, 0, 1.5, "", "x", [], [[]], {}, {"NO": 1}, "x" * 300)


def places(data, path=()):
    """Every place in nested JSON data."""
    yield path
    if isinstance(data, dict):
        for key, value in data.items():
            yield from places(value, (*path, key))
    elif isinstance(data, list):
        for index, value in enumerate(data):
            yield from places(value, (*path, index))


def put(data, path, value):
    if not path:
        return value
    copy = dict(data) if isinstance(data, dict) else list(data)
    copy[path[0]] = put(data[path[0]], path[1:], value)
    return copy


class TestTypes:
    # what may rightly stand where: texts may be any text, a rung may have no contacts, a panel may be open
    RIGHT = (
        ("title", ("", "x")),
        ("note", ("", "x")),
        ("label", ("", "x")),
        ("colour", ("",)),
        ("terminals", ("",)),
        ("contacts", (None,)),
        ("devices", (None,)),
    )

    def test_a_value_of_the_wrong_type_is_refused_at_every_place(self, pump):
        data = data_of(pump)
        tried = 0
        for path in places(data):
            right = dict(self.RIGHT).get(path[-1] if path else "", ())
            for junk in JUNK:
                if any(type(junk) is type(fine) and junk == fine for fine in right) or (
                    path == ("rungs",) and junk == []
                ):
                    continue
                with pytest.raises(LadderError):
                    from_json(json.dumps(put(data, path, junk)))
                tried += 1
        assert tried > 400

    @given(st.data())
    @settings(max_examples=150)
    def test_any_json_in_any_place_is_read_or_refused_and_nothing_else(self, data):
        whole = data_of(data.draw(ladders()))
        path = data.draw(st.sampled_from(list(places(whole))))
        leaf = st.none() | st.booleans() | st.integers() | st.floats() | st.text(max_size=5)
        keys = st.sampled_from(("NO", "NC", "series", "parallel", "coil", "lamp", "tag", "note"))
        value = data.draw(st.recursive(leaf, lambda x: st.lists(x, max_size=3) | st.dictionaries(keys, x, max_size=2)))
        text = json.dumps(put(whole, path, value))
        try:
            ladder = from_json(text)
        except LadderError:
            return
        assert from_json(to_json(ladder)) == ladder


class TestGroups:
    def contacts(self, pump, contacts):
        data = data_of(pump)
        data["rungs"][1]["contacts"] = contacts
        return data

    @pytest.mark.parametrize(
        "group",
        [
            {"series": []},
            {"series": [{"NO": "Q1"}]},
            {"parallel": [{"NO": "Q1"}]},
            {"series": [{"NO": "Q1"}, {"series": [{"NO": "S1"}, {"NO": "S2"}]}]},
            {"parallel": [{"NO": "Q1"}, {"parallel": [{"NO": "S1"}, {"NO": "S2"}]}]},
        ],
    )
    def test_a_group_has_two_members_and_none_of_its_own_sort(self, pump, group):
        assert "group has two or more members, none of them" in refused(self.contacts(pump, group)).rule

    @pytest.mark.parametrize("part", [{"NO": "S1", "NC": "S1"}, {"series": [], "parallel": []}, {"terminals": "13-14"}])
    def test_a_part_is_one_thing(self, pump, part):
        error = refused(self.contacts(pump, part))
        assert error.rule == "needs exactly one of these keys"
        assert error.choices == ("NO", "NC", "series", "parallel")

    def test_a_load_is_one_thing(self, pump):
        data = data_of(pump)
        data["rungs"][1]["loads"] = [{"coil": "Q1", "lamp": "P1"}]
        error = refused(data)
        assert (error.thing, error.rule) == ("from_json, rung 2, load", "needs exactly one of these keys")

    def test_21_levels_of_branches_are_refused(self, pump):
        part = {"NO": "S1"}
        for n in range(21):
            part = {"series" if n % 2 else "parallel": [part, {"NO": "S2"}]}
        assert refused(self.contacts(pump, part)).rule == "at most 20 levels of branches within branches"
        assert from_json(json.dumps(self.contacts(pump, part["parallel"][0]))).rungs[1].contacts.depth == 20

    def test_101_contacts_are_refused(self, pump):
        assert refused(self.contacts(pump, {"series": [{"NO": "S1"}] * 101})).rule == "at most 100"
        nested = {"series": [{"parallel": [{"NO": "S1"}] * 51}, {"parallel": [{"NO": "S2"}] * 50}]}
        assert refused(self.contacts(pump, nested)).rule == "at most 100 contacts in one rung"

    @pytest.mark.parametrize(("key", "count", "rule"), [("rungs", 201, "at most 200"), ("devices", 201, "at most 200")])
    def test_too_many_are_refused_before_they_are_read(self, pump, key, count, rule):
        assert refused(data_of(pump) | {key: [None] * count}).rule == rule


class TestSameRulesAsTyped:
    @pytest.mark.parametrize(
        ("change", "rule"),
        [
            (lambda d: d["rungs"][1]["loads"].append({"coil": "Q1"}), "coil Q1 already ends rung 1"),
            (lambda d: d["rungs"][1]["contacts"].update(NO="Q9"), "no device Q9 on this panel"),
            (lambda d: d["rungs"][1].update(loads=[]), "has no load at its end"),
            (lambda d: d["rungs"][1].update(loads=[], contacts=None), "is empty"),
            (lambda d: d["rungs"][1]["contacts"].update(NO="P1"), "a pilot lamp has no contacts"),
            (
                lambda d: d["rungs"][1]["contacts"].update(terminals="21-22"),
                "terminals 21-22 are those of a normally cl",
            ),
            (lambda d: d["devices"].append(d["devices"][0]), "device S1 is declared twice"),
            (lambda d: d["devices"][0].update(kind="contactor"), "a contactor has the letter Q"),
            (lambda d: d["devices"][0].update(kind=""), "a stored device names its kind"),
            (lambda d: d["rungs"][0]["loads"][0].update(colour="red"), "only a lamp has a colour"),
        ],
    )
    def test_a_ladder_that_could_not_be_typed_cannot_be_read(self, pump, change, rule):
        data = data_of(pump)
        change(data)
        assert refused(data).rule.startswith(rule)


class TestSettings:
    def panel(self, setting=""):
        ladder = Ladder("Agitator", [Device("S1"), Device("K1", "timer relay", setting=setting)])
        ladder.rung(NO("S1"), coil("K1"))
        return ladder

    def test_a_setting_comes_back(self):
        text = to_json(self.panel("on-delay 5 s"))
        assert json.loads(text)["devices"][1] == {
            "tag": "K1",
            "kind": "timer relay",
            "colour": "",
            "label": "",
            "setting": "on-delay 5 s",
        }
        assert from_json(text) == self.panel("on-delay 5 s") != self.panel("on-delay 6 s")

    def test_nothing_set_writes_no_key_and_the_version_stays_1(self):
        data = json.loads(to_json(self.panel()))
        assert [sorted(device) for device in data["devices"]] == [["colour", "kind", "label", "tag"]] * 2
        assert data["version"] == 1

    def test_a_stored_setting_is_checked_like_a_typed_one(self):
        text = to_json(self.panel("on-delay 5 s")).replace("5 s", "5 weeks")
        with pytest.raises(LadderError, match="no setting of a timer relay"):
            from_json(text)


class TestFurtherInputs:
    def counting(self):
        ladder = Ladder("Filling line", [Device("B1"), Device("S2"), Device("K5", "counter", setting="up-down 3")])
        ladder.rung(NO("B1"), coil("K5"))
        ladder.rung(NC("B1"), count_down("K5"), reset("K5", "R1-R2"))
        return ladder

    def test_they_are_written_under_their_own_keys_and_come_back(self):
        text = to_json(self.counting())
        assert json.loads(text)["rungs"][1]["loads"] == [{"down": "K5"}, {"reset": "K5", "terminals": "R1-R2"}]
        assert json.loads(text)["version"] == 1
        assert from_json(text) == self.counting()

    def test_a_stored_input_is_checked_like_a_typed_one(self):
        with pytest.raises(LadderError, match="a down input is that of a counter set to up-down"):
            from_json(to_json(self.counting()).replace("up-down 3", "up 3"))
        with pytest.raises(LadderError, match="needs exactly one of these keys") as found:
            from_json(to_json(self.counting()).replace('{"down": "K5"}', '{"preset": "K5"}'))
        assert found.value.choices == ("coil", "lamp", "reset", "down")
