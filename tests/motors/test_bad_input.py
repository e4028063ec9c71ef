"""Every number that cannot be: the message names what it is, the rule with the legal range, and the value given."""

import pytest

from rungbook import LadderError
from rungbook.motors import (
    Nameplate,
    autotransformer,
    code_letter_of,
    conductor_ampacity,
    conductor_size,
    drive,
    drive_voltage,
    electric_power,
    feeder_ampacity,
    full_load_current,
    locked_rotor_current,
    locked_rotor_kva,
    locked_rotor_table_current,
    motor_current,
    next_standard_rating,
    overload_setting,
    poles_of,
    rotor_frequency,
    shaft_power,
    short_circuit_device,
    slip,
    soft_starter,
    speed_at,
    star_delta,
    synchronous_full_load_current,
    synchronous_speed,
    torque,
    volts_per_hertz,
)

COLUMNS = "Choices: 115 V (110–120), 200 V, 208 V, 230 V (220–240), 460 V (440–480), 575 V (550–600)"
ANOTHER = "for other voltages reckon with motor_current, or ask the maker"


def told(call) -> str:
    with pytest.raises(LadderError) as found:
        call()
    return str(found.value)


@pytest.mark.parametrize(
    ("call", "message"),
    [
        (lambda: full_load_current(-1, 460), "Table 430.250: a number above 0 to 1000000 hp. Given: -1."),
        (lambda: full_load_current("-1 hp", 115, 1), "Table 430.248: a number above 0 to 1000000 hp. Given: '-1 hp'."),
        (
            lambda: synchronous_full_load_current(-60, 460),
            "Table 430.250 (synchronous): a number above 0 to 1000000 hp. Given: -60.",
        ),
        (
            lambda: locked_rotor_table_current(-10, 460),
            "Table 430.251(B): a number above 0 to 1000000 hp. Given: -10.",
        ),
        (lambda: locked_rotor_kva(-20, "G"), "Power: a number above 0 to 10000 hp. Given: -20."),
        (lambda: locked_rotor_current(-20, 460, "G"), "Power: a number above 0 to 10000 hp. Given: -20."),
        (lambda: code_letter_of(100, 460, -10), "Power: a number above 0 to 10000 hp. Given: -10."),
        (lambda: motor_current(-7.5, 400, 0.82, 0.88), "Rated power: a number above 0 to 10000 kW. Given: -7.5."),
        (lambda: torque("-10 hp", 1750), "Power: a number from 0 to 10000 kW. Given: '-10 hp'."),
        (lambda: Nameplate(-7.5, 460, 13.2, 1740), "Rated power: a number above 0 to 10000 kW. Given: -7.5."),
    ],
)
def test_negative_power(call, message):
    assert told(call) == message


@pytest.mark.parametrize(
    ("call", "message"),
    [
        (lambda: electric_power(400, -1), "Current: a number from 0 to 100000 A. Given: -1."),
        (lambda: shaft_power(460, -30, 0.85, 0.92), "Current: a number from 0 to 100000 A. Given: -30."),
        (lambda: overload_setting(-4), "Overload setting: a number above 0 to 10000 A. Given: -4."),
        (lambda: conductor_ampacity(-16), "Full-load current: a number above 0 to 100000 A. Given: -16."),
        (
            lambda: conductor_size(full_load_current("7 1/2 hp", 208)),
            "Ampacity: takes the ampacity that is needed, not the table's current (NEC 430.22: 125 % of it). "
            "Given: '24.2 A'. Choices: conductor_ampacity(…).",
        ),
        (lambda: conductor_size(-1), "Ampacity: a number above 0 to 545 A. Given: -1."),
        (lambda: feeder_ampacity(11, -3), "Full-load current: a number above 0 to 100000 A. Given: -3."),
        (
            lambda: short_circuit_device(-1, "inverse-time breaker"),
            "Full-load current: a number above 0 to 2000 A. Given: -1.",
        ),
        (lambda: next_standard_rating(-1, fuse=False), "Rating: a number above 0 to 6000 A. Given: -1."),
        (lambda: star_delta(-1), "Changeover: a number above 0 to 600 s. Given: -1."),
        (lambda: soft_starter(-0.4), "Voltage at first: a number from 0.1 to 1. Given: -0.4."),
        (lambda: autotransformer("0 %"), "Tap: a number from 0.1 to 1. Given: '0 %'."),
        (lambda: drive(-5), "Ramp: a number above 0 to 600 s. Given: -5."),
    ],
)
def test_other_negative_numbers(call, message):
    assert told(call) == message


@pytest.mark.parametrize("poles", [0, -2, 3])
def test_poles_that_no_motor_has(poles):
    assert (
        told(lambda: synchronous_speed(60, poles)) == f"Number of poles: an even number from 2 to 100. Given: {poles}."
    )


@pytest.mark.parametrize(
    ("call", "message"),
    [
        (lambda: rotor_frequency(1.2, 60), "Slip: a number from 0 to 1. Given: 1.2."),
        (lambda: rotor_frequency("120 %", 60), "Slip: a number from 0 to 1. Given: '120 %'."),
        (lambda: speed_at(1.01, 1800), "Slip: a number from 0 to 1. Given: 1.01."),
        (
            lambda: slip(1800, -10),
            "Speed: a motor runs from 0 to its synchronous speed of 1800 rpm; this is negative, a slip above one. "
            "Given: -10.",
        ),
    ],
)
def test_a_slip_above_one(call, message):
    assert told(call) == message


@pytest.mark.parametrize(
    ("call", "message"),
    [
        (
            lambda: slip("1200 rpm", "1750 rpm"),
            "Speed: a motor runs from 0 to its synchronous speed of 1200 rpm; this is above it. Given: '1750 rpm'.",
        ),
        (
            lambda: slip(synchronous_speed(50, 4), 1740),
            "Speed: a motor runs from 0 to its synchronous speed of 1500 rpm; this is above it. Given: 1740.",
        ),
        (lambda: poles_of(50, 3450), "Rated speed: a number from 58.82 to 3000 rpm. Given: 3450."),
    ],
)
def test_a_synchronous_speed_below_the_nameplates(call, message):
    assert told(call) == message


@pytest.mark.parametrize(
    ("call", "message"),
    [
        (
            lambda: full_load_current(10, 380),
            f"Table 430.250: has no column for 380 V; {ANOTHER}. Given: 380. {COLUMNS}, 2300 V.",
        ),
        (
            lambda: locked_rotor_table_current(10, "300 V"),
            f"Table 430.251(B): has no column for 300 V; {ANOTHER}. Given: '300 V'. {COLUMNS}.",
        ),
        (
            lambda: full_load_current(5, 460, 1),
            f"Table 430.248: has no column for 460 V; {ANOTHER}. Given: 460. "
            "Choices: 115 V (110–120), 200 V, 208 V, 230 V (220–240).",
        ),
        (lambda: motor_current(7.5, 0, 0.82, 0.88), "Voltage: a number above 0 to 15000 V. Given: 0."),
        (lambda: locked_rotor_current(20, -460, "G"), "Voltage: a number above 0 to 15000 V. Given: -460."),
        (lambda: drive_voltage(-460, 60, 30), "Rated voltage: a number above 0 to 15000 V. Given: -460."),
        (lambda: volts_per_hertz("460 kV", 60), "Rated voltage: a number above 0 to 15000 V. Given: '460 kV'."),
    ],
)
def test_a_voltage_that_is_unknown(call, message):
    assert told(call) == message


@pytest.mark.parametrize(
    ("call", "message"),
    [
        (lambda: full_load_current("10", 460), "Table 430.250: the unit is missing; a number above 0 to 1000000 hp"),
        (lambda: full_load_current(10, "460"), "Table 430.250: the unit is missing; a number above 0 to 1000000 V"),
        (lambda: motor_current("7.5", 400, 0.8, 0.9), "Rated power: the unit is missing; a number above 0 to 10000 kW"),
        (lambda: slip("1800", "1750 rpm"), "Synchronous speed: the unit is missing; a number above 0 to 60000 rpm"),
        (lambda: synchronous_speed("60", 4), "Frequency: the unit is missing; a number above 0 to 1000 Hz"),
        (lambda: overload_setting("4"), "Overload setting: the unit is missing; a number above 0 to 10000 A"),
        (lambda: conductor_ampacity("16"), "Full-load current: the unit is missing; a number above 0 to 100000 A"),
        (lambda: star_delta("3"), "Changeover: the unit is missing; a number above 0 to 600 s"),
        (
            lambda: Nameplate("10 hp", "460", 13.2, 1740),
            "Rated voltage: the unit is missing; a number above 0 to 15000 V",
        ),
    ],
)
def test_a_unit_that_is_missing(call, message):
    found = told(call)
    assert found.startswith(f"{message}. Given: '")
    given, unit = found.partition("Given: '")[2].split("'")[0], message.split()[-1]
    assert found.endswith(f"Choices: {given} {unit}.")
