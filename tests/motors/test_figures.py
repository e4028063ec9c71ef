import re
from xml.etree import ElementTree as ET

import pytest

from rungbook import LadderError
from rungbook.motors import (
    Load,
    Nameplate,
    autotransformer,
    control_drop_figure,
    direct,
    drive,
    heating_figure,
    run_up,
    run_up_figure,
    soft_starter,
    star_delta,
    start_heating,
    starting_figure,
    torque_speed_figure,
    volts_per_hertz_figure,
)
from rungbook.motors.figures.sheet import kept

MILL, FAN = Nameplate("10 hp", 460, 13.2, 1740), Load(30, "square", 1.5)
WAYS = (direct(), star_delta(), autotransformer(), soft_starter())
SVG = "{http://www.w3.org/2000/svg}"


def words(picture):
    """Texts that stand in the picture, title and description left out."""
    root = ET.fromstring(picture.svg)
    return {"".join(text.itertext()).strip() for text in root.iter(f"{SVG}text")}


@pytest.fixture(scope="module")
def starts():
    return tuple(run_up(MILL, FAN, way) for way in (*WAYS, drive()))


def all_figures(starts):
    return {
        "torque": torque_speed_figure(MILL, FAN),
        "ways": starting_figure(MILL, *WAYS, load=FAN),
        "in time": run_up_figure(*starts),
        "heat": heating_figure(*(start_heating(start, 13.2) for start in starts)),
        "drive": volts_per_hertz_figure(460, 60, 10),
        "control": control_drop_figure(0.5, 1.0, 1.5),
    }


class TestEveryFigure:
    def test_says_in_words_what_it_shows_and_names_its_axes_with_units(self, starts):
        for name, picture in all_figures(starts).items():
            root = ET.fromstring(picture.svg)
            assert root.find(f"{SVG}desc").text == picture.description, name
            assert root.get("role") == "img", name
            assert any(re.search(r" \[[^]]+\]$", text) for text in words(picture)), name

    def test_is_the_same_svg_for_the_same_numbers(self, starts):
        once = all_figures(starts)
        kept.cache_clear()
        again = all_figures(starts)
        assert [picture.svg for picture in once.values()] == [picture.svg for picture in again.values()]

    def test_leaves_matplotlibs_settings_alone(self, starts):
        import matplotlib

        kept.cache_clear()
        before = dict(matplotlib.rcParams)
        run_up_figure(*starts)
        assert dict(matplotlib.rcParams) == before


class TestWords:
    def test_of_the_torque_speed_curve(self):
        found = torque_speed_figure(MILL, FAN)
        assert "At rest 71.62 N·m and 66 A; breakdown torque 122.8 N·m at 1450 rpm" in found.description
        assert {"locked rotor", "breakdown", "rated", "motor", "load", "torque [N·m]", "speed [rpm]"} <= words(found)
        assert "load" not in words(torque_speed_figure(MILL))

    def test_of_the_ways_over_the_speed(self):
        found = starting_figure(MILL, *WAYS)
        assert "star-delta 23.87 N·m and 22 A" in found.description
        assert {way.name for way in WAYS} <= words(found)

    def test_of_the_course_in_time(self, starts):
        found = run_up_figure(*starts)
        assert f"direct: up to speed in {starts[0].seconds:.2f} s" in found.description
        assert {start.starter.name for start in starts} <= words(found)

    def test_of_the_heat_a_trip_is_marked_and_ends_the_curve(self):
        heavy = run_up(MILL, Load(38, "square", 9.0), direct())
        found = heating_figure(start_heating(heavy, 13.2, "10"), start_heating(heavy, 13.2, "30"))
        assert "class 10 set to 13.2 A, cold: trips after" in found.description
        assert "class 30 set to 13.2 A, cold: holds" in found.description
        assert {"direct: class 10, cold", "trips"} <= words(found)

    def test_of_the_drive(self):
        found = volts_per_hertz_figure(460, 60, 10)
        assert found.description == (
            "Voltage of a drive: 7.667 V/Hz up to 60 Hz, 235 V at 30 Hz, then 460 V. Boost at standstill 10 V. "
            "Lasting torque 100 % up to 60 Hz, 50 % at 120 Hz."
        )
        assert {"235 V at 30 Hz", "460 V at 60 Hz"} <= words(found)

    def test_of_the_control_line(self):
        found = control_drop_figure(0.5, 1.5)
        assert "At least 85 %: 0.5 mm²: up to 729.6 m; 1.5 mm²: up to 2189 m." in found.description
        assert {"0.5 mm²", "1.5 mm²"} <= words(found)


@pytest.mark.parametrize(
    "make",
    [
        lambda: starting_figure(MILL),
        lambda: starting_figure(MILL, drive()),
        lambda: starting_figure(MILL, *[direct()] * 6),
        lambda: run_up_figure(),
        lambda: heating_figure(),
        lambda: control_drop_figure(),
        lambda: control_drop_figure(-1),
        lambda: volts_per_hertz_figure(460, 0),
    ],
)
def test_nothing_to_draw_or_too_much_is_refused(make):
    with pytest.raises(LadderError):
        make()


def test_a_figure_of_the_same_numbers_is_drawn_once_and_one_of_others_anew():
    first = volts_per_hertz_figure(441, 60)
    assert volts_per_hertz_figure(441, 60) is first
    assert volts_per_hertz_figure(441, 60, boost=10) is not first
    assert "Boost at standstill 10 V" in volts_per_hertz_figure(441, 60, boost=10).description


def test_a_list_of_volts_is_refused_in_words_though_it_cannot_be_kept():
    with pytest.raises(LadderError, match="Rated voltage"):
        volts_per_hertz_figure([208], 60)
