import pytest

from rungbook import LadderError
from rungbook.motors import Nameplate

MILL = {"kilowatts": "10 hp", "volts": 460, "amps": 13.2, "rpm": 1740}


def test_what_follows_from_the_plate():
    plate = Nameplate(**MILL)
    assert (plate.poles, plate.synchronous_rpm) == (4, 1800)
    assert plate.slip == pytest.approx(0.0333, abs=1e-4)
    assert plate.torque == pytest.approx(40.92, abs=0.01)
    assert str(plate.current) == "Nameplate current: 13.2 A\n  nameplate: 13.2 A"


def test_it_shows_itself():
    plate = Nameplate(**MILL, service_factor=1.15, temperature_rise=40)
    assert "rated speed: 1740 rpm of 1800 rpm" in str(plate)
    assert "1.15, 40 °C" in plate._repr_html_()


@pytest.mark.parametrize(
    ("field", "value", "message"),
    [
        ("kilowatts", -7.5, "Rated power: a number above 0 to 10000 kW. Given: -7.5"),
        ("kilowatts", "10", "Rated power: the unit is missing"),
        ("volts", 0, "Rated voltage: a number above 0 to 15000 V"),
        ("amps", "13.2 V", "Rated current: voltage was given, current"),
        ("rpm", 1800, "Rated speed: a rated speed below the synchronous one"),
        ("rpm", 1300, "with 4 poles a slip of 27.78 %"),
        ("rpm", 1850, "Choices: 2880 to below 3600 rpm, 1440 to below 1800 rpm, 960 to below 1200 rpm, 720 to"),
        ("power_factor", 1.2, "Power factor: a number above 0 to 1. Given: 1.2"),
        ("service_factor", 0.8, "Service factor: a number from 1 to 2"),
        ("temperature_rise", -40, "Temperature rise: a number from 1 to 200 °C"),
        ("locked_torque", 3.5, "at most the breakdown torque, 3. Given: 3.5"),
        ("inertia", 0, "Inertia of the rotor: a number above 0"),
        ("amps", 30, "give 18.29 kW at the shaft; the two may differ by 15 %. Given: '7.457 kW'"),
    ],
)
def test_what_cannot_be_a_plate_is_refused(field, value, message):
    with pytest.raises(LadderError) as found:
        Nameplate(**{**MILL, field: value})
    assert message in str(found.value)
