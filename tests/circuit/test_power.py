import json

import pytest
from hypothesis import given
from hypothesis import strategies as st

from rungbook import LadderError
from rungbook.circuit.power import (
    LINES,
    POLES,
    POWER_KINDS,
    TERMINALS,
    Pole,
    PowerCircuit,
    PowerDevice,
    PowerMotor,
    Source,
    direct,
    joined,
    reversing,
    star_delta,
)
from rungbook.circuit.power_store import power_from_json, power_to_json


def refused(make, *args, **kwargs):
    with pytest.raises(LadderError) as found:
        make(*args, **kwargs)
    return found.value


def ways(circuit):
    return [f"{pole}: {pole.a} {pole.b}" for pole in circuit.poles]


class TestSource:
    def test_it_is_208_volts_between_lines_at_60_hertz_if_nothing_is_said(self):
        assert PowerCircuit().source == Source(208, 60)
        assert (PowerCircuit().source.volts, PowerCircuit().source.hertz) == (208.0, 60.0)

    @pytest.mark.parametrize("volts", [0, -208, 1001, float("nan"), float("inf"), 10**400, "208", None, True, [208]])
    def test_a_voltage_out_of_range_or_of_another_type_is_refused(self, volts):
        error = refused(Source, volts)
        assert error.rule == "volts is a number above 0, at most 1000"
        assert error.value is volts

    def test_a_frequency_above_400_hertz_is_refused(self):
        assert refused(Source, 208, 401).rule == "hertz is a number above 0, at most 400"

    def test_a_source_of_another_type_is_refused(self):
        assert refused(PowerCircuit, "Mill", 208).rule == "the source is a Source record"


class TestPole:
    def test_it_reads_as_device_and_terminals(self):
        assert str(Pole("Q1", "3-4", "L2", "1T2")) == "Q1 3-4"

    @pytest.mark.parametrize("pole", ["13-14", "1", "", None, 1, ["1-2"]])
    def test_only_the_three_main_poles_exist(self, pole):
        error = refused(Pole, "Q1", pole, "L1", "1T1")
        assert (error.rule, error.choices) == ("no such main pole", ("1-2", "3-4", "5-6"))

    @pytest.mark.parametrize("node", ["", " ", "a b", "-", "L1\n", "x" * 17, "é", None, 7, ["L1"]])
    def test_a_malformed_node_is_refused_on_either_side(self, node):
        for ends in ((node, "U1"), ("L1", node)):
            error = refused(Pole, "Q1", "1-2", *ends)
            assert (error.thing, error.value) == ("Pole of Q1, 1-2", node)
            assert error.rule.startswith("a node is named by 1 to 16 letters")

    def test_a_bridged_pole_is_refused(self):
        assert refused(Pole, "Q1", "1-2", "L1", "L1").rule == "both ends are on one node, so the pole is bridged"


class TestDevice:
    def test_an_unknown_device_letter_is_refused(self):
        error = refused(PowerCircuit().device, "X1", "contactor", LINES, TERMINALS[:3])
        assert error.rule == "the letter X stands for no kind of device here"

    def test_a_letter_of_another_kind_is_refused_and_what_fits_is_listed(self):
        error = refused(PowerCircuit().device, "F1", "contactor", LINES, TERMINALS[:3])
        assert error.rule == "the designation of a contactor has the letter Q (IEC 81346-2)"
        assert error.choices == ("fuse", "overload relay")
        assert refused(PowerCircuit().device, "M1", "contactor", LINES, TERMINALS[:3]).choices == ()

    @pytest.mark.parametrize("kind", ["motor", "switch", "", None, ["contactor"]])
    def test_an_unknown_kind_is_refused(self, kind):
        assert refused(PowerCircuit().device, "Q1", kind, LINES, TERMINALS[:3]).choices == tuple(POWER_KINDS)

    def test_a_pole_used_twice_is_refused(self):
        poles = (Pole("Q1", "1-2", "L1", "U1"), Pole("Q1", "1-2", "L2", "V1"))
        assert refused(PowerDevice, "Q1", "contactor", poles).rule == ("pole 1-2 is used twice; one pole is one place")

    def test_a_pole_of_another_device_is_refused(self):
        error = refused(PowerDevice, "Q1", "contactor", (Pole("Q2", "1-2", "L1", "U1"),))
        assert (error.rule, error.choices) == ("Q2 1-2 is a pole of another device", ("Q1",))

    @pytest.mark.parametrize("poles", [(), [], None, ("1-2",)])
    def test_poles_are_a_tuple_of_records(self, poles):
        assert refused(PowerDevice, "Q1", "contactor", poles).thing == "Power device Q1"

    @pytest.mark.parametrize(("into", "out"), [((), ()), (LINES, ("U1", "V1")), (("a",) * 4, ("b",) * 4)])
    def test_as_many_nodes_go_in_as_out(self, into, out):
        assert refused(PowerCircuit().device, "Q1", "contactor", into, out).rule == (
            f"needs one to three nodes on each side, as many in as out; these are {len(into)} and {len(out)}"
        )

    def test_one_text_is_no_list_of_nodes(self):
        assert refused(PowerCircuit().device, "Q1", "contactor", "L1", "U1").rule == (
            "nodes are given as a list of names"
        )


class TestMotor:
    def test_six_leads_are_named_in_order(self):
        motor = PowerMotor("M1", ("a", "b", "c", "d", "e", "f"))
        assert motor.terminals == {"U1": "a", "V1": "b", "W1": "c", "U2": "d", "V2": "e", "W2": "f"}
        assert PowerMotor("M1", ("a", "b", "c")).terminals == {"U1": "a", "V1": "b", "W1": "c"}

    @pytest.mark.parametrize("nodes", [(), ("a",) * 2, ("a",) * 4, ("a",) * 7, ["a", "b", "c"], None])
    def test_any_other_number_of_leads_is_refused(self, nodes):
        assert refused(PowerMotor, "M1", nodes).rule == "needs the nodes of three or of six terminals in a tuple"

    def test_another_letter_is_refused(self):
        assert refused(PowerMotor, "Q1", ("a", "b", "c")).choices == ("M1",)


class TestCircuit:
    def test_a_designation_stands_once_and_a_refused_element_leaves_no_trace(self):
        circuit = direct("Wash pump")
        before = circuit.elements
        error = refused(circuit.device, "Q1", "contactor", LINES, ("x", "y", "z"))
        assert error.rule == "Q1 is wired already; all its poles are given at once"
        assert refused(circuit.motor, "M1", ("x", "y", "z")).value == "M1"
        assert refused(circuit.add, "Q2").rule == "takes PowerDevice and PowerMotor records"
        assert circuit.elements == before

    def test_201_elements_are_refused(self):
        circuit = PowerCircuit()
        for n in range(1, 201):
            circuit.device(f"Q{n}", "contactor", ("L1",), ("U1",))
        assert refused(circuit.motor, "M1", ("U1", "V1", "W1")).rule == "at most 200 devices and motors"

    def test_a_circuit_without_devices_is_not_valid(self):
        assert refused(PowerCircuit("Mill").validate).rule == (
            "has no devices yet; add them with .device(…) and .motor(…)"
        )

    def test_a_node_that_leads_nowhere_is_refused_with_its_pole_and_the_nodes_there_are(self):
        circuit = PowerCircuit("Mill")
        circuit.device("Q1", "contactor", LINES, ("1T1", "1T2", "1T3"))
        circuit.motor("M1", ("1T1", "1T2", "1t3"))
        error = refused(circuit.validate)
        assert (error.thing, error.rule, error.value) == (
            "Power circuit 'Mill', pole Q1 5-6",
            "ends on a node that leads nowhere",
            "1T3",
        )
        assert error.choices == ("L1", "L2", "L3", "1T1", "1T2", "1t3")

    def test_the_three_usual_circuits_are_valid_and_have_no_findings(self):
        for make in (direct, reversing, star_delta):
            circuit = make("Mill")
            circuit.validate()
            assert circuit.findings() == ()

    def test_equal_means_the_same_elements_in_the_same_order(self):
        assert direct("Mill") == direct("Mill")
        assert direct("Mill") != direct("Press")
        assert direct() != direct(fuses="")
        turned = PowerCircuit()
        for element in reversed(direct().elements):
            turned.add(element)
        assert turned != direct()


class TestFindings:
    def test_a_motor_terminal_fed_from_nothing_is_a_finding_and_no_error(self):
        circuit = PowerCircuit("Agitator")
        circuit.device("Q1", "contactor", ("L1", "L2"), ("U1", "V1"))
        circuit.motor("M1", ("U1", "V1", "W1"))
        circuit.validate()
        assert circuit.findings() == ("M1: terminal W1, on node W1, is fed from nothing.",)

    def test_a_star_point_wired_for_good_is_no_finding_but_an_open_winding_end_is(self):
        circuit = PowerCircuit("Agitator")
        circuit.motor("M1", (*LINES, "star", "star", "end"))
        assert circuit.findings() == ("M1: terminal W2, on node end, is fed from nothing.",)

    def test_terminals_of_a_three_lead_motor_tied_together_are_findings(self):
        circuit = PowerCircuit("Agitator")
        circuit.motor("M1", ("L1", "tie", "tie"))
        assert circuit.findings() == (
            "M1: terminal V1, on node tie, is fed from nothing.",
            "M1: terminal W1, on node tie, is fed from nothing.",
        )

    def test_both_ends_of_one_winding_tied_together_make_no_star_point(self):
        circuit = PowerCircuit("Agitator")
        circuit.motor("M1", ("tie", "L2", "L3", "tie", "star", "star"))
        assert [told[:16] for told in circuit.findings()] == ["M1: terminal U1,", "M1: terminal U2,"]


class TestBuilders:
    def test_direct(self):
        assert ways(direct(fuses="")) == [
            "Q9 1-2: L1 1L1",
            "Q9 3-4: L2 1L2",
            "Q9 5-6: L3 1L3",
            "Q1 1-2: 1L1 1T1",
            "Q1 3-4: 1L2 1T2",
            "Q1 5-6: 1L3 1T3",
            "F1 1-2: 1T1 U1",
            "F1 3-4: 1T2 V1",
            "F1 5-6: 1T3 W1",
        ]
        assert [f"{device.tag} {device.kind}" for device in direct().devices] == [
            "Q9 disconnect",
            "F9 fuse",
            "Q1 contactor",
            "F1 overload relay",
        ]

    def test_the_reverse_contactor_changes_the_outer_lines(self):
        assert ways(reversing(disconnect="", fuses=""))[:6] == [
            "Q1 1-2: L1 1T1",
            "Q1 3-4: L2 1T2",
            "Q1 5-6: L3 1T3",
            "Q2 1-2: L1 1T3",
            "Q2 3-4: L2 1T2",
            "Q2 5-6: L3 1T1",
        ]

    def test_star_joins_the_far_ends_and_delta_gives_each_the_next_line(self):
        assert ways(star_delta(disconnect="", fuses=""))[6:] == [
            "Q2 1-2: U2 star",
            "Q2 3-4: V2 star",
            "Q2 5-6: W2 star",
            "Q3 1-2: L2 U2",
            "Q3 3-4: L3 V2",
            "Q3 5-6: L1 W2",
        ]

    def test_a_designation_twice_is_refused(self):
        assert refused(reversing, forward="Q1", reverse="Q1").rule.startswith("Q1 is wired already")


class TestJoined:
    @given(st.lists(st.tuples(st.integers(0, 9), st.integers(0, 9)).filter(lambda ab: ab[0] != ab[1]), max_size=12))
    def test_two_nodes_share_a_net_exactly_if_poles_lead_from_one_to_the_other(self, pairs):
        net = joined([Pole("Q1", "1-2", f"n{a}", f"n{b}") for a, b in pairs])
        for start in range(10):
            reached = {start}
            for _ in range(10):
                reached |= {b for pair in pairs for a, b in (pair, pair[::-1]) if a in reached}
            assert {n for n in range(10) if net(f"n{n}") == net(f"n{start}")} == reached


def data_of(circuit):
    return json.loads(power_to_json(circuit))


def unread(data):
    return refused(power_from_json, data if isinstance(data, str) else json.dumps(data))


nodes = st.from_regex(r"[A-Za-z0-9][A-Za-z0-9.:/_-]{0,15}", fullmatch=True)
texts = st.text(st.characters(codec="utf-8").filter(str.isprintable), max_size=20)
sources = st.builds(
    Source, st.floats(0, 1000, exclude_min=True) | st.integers(1, 1000), st.floats(0, 400, exclude_min=True)
)


@st.composite
def circuits(draw):
    circuit = PowerCircuit(draw(texts), draw(sources))
    for n in range(1, draw(st.integers(0, 5)) + 1):
        if draw(st.booleans()):
            count = draw(st.sampled_from((3, 6)))
            circuit.add(PowerMotor(f"M{n}", tuple(draw(nodes) for _ in range(count)), draw(texts)))
        else:
            kind = draw(st.sampled_from(tuple(POWER_KINDS)))
            tag = f"{POWER_KINDS[kind]}{n}"
            used = draw(st.lists(st.sampled_from(POLES), min_size=1, max_size=3, unique=True))
            ends = st.lists(nodes, min_size=2, max_size=2, unique=True)
            circuit.add(PowerDevice(tag, kind, tuple(Pole(tag, pole, *draw(ends)) for pole in used), draw(texts)))
    return circuit


class TestRoundTrip:
    @given(circuits())
    def test_a_circuit_comes_back_equal_and_its_text_is_the_same_to_the_byte(self, circuit):
        text = power_to_json(circuit)
        back = power_from_json(text)
        assert back == circuit
        assert power_to_json(back) == text
        assert "\n" not in text

    def test_the_text_is_version_1_as_documented(self):
        circuit = PowerCircuit("Wash pump")
        circuit.device("Q1", "contactor", ("L1",), ("U1",), "№ 1")
        circuit.motor("M1", ("U1", "L2", "L3"))
        assert power_to_json(circuit) == (
            '{"rungbook": "power circuit", "version": 1, "title": "Wash pump", "source": {"volts": 208.0, "hertz": '
            '60.0}, "elements": [{"tag": "Q1", "kind": "contactor", "poles": [["1-2", "L1", "U1"]], "label": "№ 1"}, '
            '{"tag": "M1", "kind": "motor", "terminals": {"U1": "U1", "V1": "L2", "W1": "L3"}, "label": ""}]}'
        )

    def test_whole_volts_give_the_same_text_as_volts_with_a_point(self):
        assert power_to_json(PowerCircuit("", Source(208))) == power_to_json(PowerCircuit("", Source(208.0)))

    def test_spaces_and_the_order_of_keys_do_not_matter(self):
        data = data_of(star_delta("Mill"))
        data["elements"][-1]["terminals"] = dict(reversed(data["elements"][-1]["terminals"].items()))
        assert power_from_json(json.dumps(dict(reversed(data.items())), indent=2)) == star_delta("Mill")

    def test_only_a_power_circuit_is_written(self):
        assert refused(power_to_json, {}).rule == "writes a PowerCircuit"


JUNK = (None, True, 0, 1.5, "", "x y", [], [[]], {}, {"tag": 1}, "x" * 300)
RIGHT = {"title": ("", "x y"), "label": ("", "x y"), "volts": (1.5,), "hertz": (1.5,), "elements": ([],)}


def places(data, path=()):
    yield path
    items = data.items() if isinstance(data, dict) else enumerate(data) if isinstance(data, list) else ()
    for key, value in items:
        yield from places(value, (*path, key))


def put(data, path, value):
    if not path:
        return value
    copy = dict(data) if isinstance(data, dict) else list(data)
    copy[path[0]] = put(data[path[0]], path[1:], value)
    return copy


class TestStrictness:
    @pytest.mark.parametrize("text", [None, b"{}", {}, 5])
    def test_what_is_no_text_is_refused(self, text):
        assert refused(power_from_json, text).rule == "reads text"

    def test_truncated_text_is_refused_at_every_length(self):
        text = power_to_json(direct("Mill", fuses=""))
        for cut in range(len(text)):
            unread(text[:cut])

    def test_broken_text_is_refused_with_its_place(self):
        assert unread('{"rungbook":\n "ladder",}').rule.startswith("no valid JSON at line 2, column 11")
        assert unread(" " * 1_000_001).rule == "at most 1000000 characters, this has 1000001"
        assert unread("[" * 100_000).rule == "too many levels of lists within lists"
        assert unread('{"version": NaN}').rule == "NaN is no JSON number"
        assert unread('{"version": ' + "9" * 5000 + "}").rule == "a number has too many digits"

    @pytest.mark.parametrize("key", ["version", "volts", "tag", "poles", "U1", "label"])
    def test_a_key_twice_in_one_object_is_refused(self, key):
        doubled = power_to_json(direct()).replace(f'"{key}": ', f'"{key}": 1, "{key}": ', 1)
        assert unread(doubled).rule == f"key '{key}' stands twice in one object"

    def test_an_unknown_or_missing_key_is_refused_everywhere(self):
        data = data_of(star_delta())
        objects = [path for path in places(data) if isinstance(_at(data, path), dict)]
        assert len(objects) == 2 + 7 + 1
        for path in objects:
            error = unread(put(data, path, _at(data, path) | {"extra": 1}))
            assert (error.rule, error.value) == ("unknown key", "extra")
            for key in _at(data, path):
                less = {name: value for name, value in _at(data, path).items() if name != key}
                assert unread(put(data, path, less)).rule in (f"key '{key}' is missing", "unknown key")

    @pytest.mark.parametrize("version", [0, 2, 1.0, "1", True, None])
    def test_another_version_is_refused(self, version):
        assert unread(data_of(direct()) | {"version": version}).rule == "unknown version of the power circuit format"

    def test_a_ladder_is_refused(self):
        assert unread(data_of(direct()) | {"rungbook": "ladder"}).rule == "this is no power circuit"

    def test_a_value_of_the_wrong_type_is_refused_at_every_place(self):
        data, tried = data_of(direct(fuses="")), 0
        for path in places(data):
            right = RIGHT.get(path[-1] if path else "", ())
            for junk in JUNK:
                if not any(type(junk) is type(fine) and junk == fine for fine in right):
                    unread(put(data, path, junk))
                    tried += 1
        assert tried > 600

    @pytest.mark.parametrize(
        ("change", "rule"),
        [
            (lambda e: e.append(e[0]), "Q9 is wired already"),
            (lambda e: e[0].update(tag="F9"), "the designation of a disconnect has the letter Q"),
            (lambda e: e[0].update(kind="switch"), "unknown kind"),
            (lambda e: e[0]["poles"].append(["1-2", "a", "b"]), "at most 3"),
            (lambda e: e[0]["poles"].pop(), None),
            (lambda e: e[0]["poles"][0].append("c"), "a pole is a list of pole, node, node"),
            (lambda e: e[0]["poles"][1].__setitem__(0, "1-2"), "pole 1-2 is used twice"),
            (lambda e: e[-1]["terminals"].update(U2="x"), "key 'V2' is missing"),
        ],
    )
    def test_what_could_not_be_typed_cannot_be_read(self, change, rule):
        data = data_of(direct())
        change(data["elements"])
        if rule is None:
            assert len(power_from_json(json.dumps(data)).devices[0].poles) == 2
        else:
            assert unread(data).rule.startswith(rule)

    def test_201_elements_are_refused_before_they_are_read(self):
        assert unread(data_of(direct()) | {"elements": [None] * 201}).rule == "at most 200"


def _at(data, path):
    for key in path:
        data = data[key]
    return data
