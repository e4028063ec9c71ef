"""What stands on the plate of a three-phase cage motor, and on its maker's sheet: the numbers all else starts from."""

from __future__ import annotations

import math
from dataclasses import dataclass
from html import escape

from rungbook.errors import LadderError
from rungbook.motors.answer import NAMEPLATE, Answer, Given, given
from rungbook.motors.power import MAX_AMPS, MAX_KW, MAX_VOLTS
from rungbook.motors.speed import poles_of
from rungbook.motors.units import show

_TRUE_TO = 0.15  # the plate's power and what its volts and amperes give may differ by so much


@dataclass(frozen=True)
class Nameplate:
    """A motor. Each field is a number in its unit, or a text with a unit ("10 hp", "27.9 lb·ft").

    kilowatts: rated power at the shaft [kW]. volts: between lines [V]. amps: rated line current [A]. rpm: rated speed
    [rpm]. hertz [Hz]. power_factor, efficiency: at rated load [unitless]. service_factor [unitless].
    temperature_rise [°C], None if not marked. locked_amps, locked_torque, breakdown_torque: with direct start, as
    multiples of the rated current and torque [unitless]. no_load_amps: magnetising current as a share of the rated one
    [unitless]. inertia: of the rotor [kg·m²].

    The multiples are typical of a cage motor (*Lessons in Electric Circuits*, vol. II ch. 13: 175, 500 and 300 %, near
    20 % slip); the rotor's inertia and the no-load current are invented but plausible. A maker's sheet comes first.

    Raises LadderError if a number is out of range, if the rated speed is not below a synchronous speed, if the locked
    torque is above the breakdown torque, or if power, voltage, current, power factor and efficiency do not belong
    together within 15 %.
    """

    kilowatts: Given
    volts: Given
    amps: Given
    rpm: Given
    hertz: Given = 60.0
    power_factor: Given = 0.85
    efficiency: Given = 0.9
    service_factor: Given = 1.0
    temperature_rise: Given | None = None
    locked_amps: Given = 5.0
    locked_torque: Given = 1.75
    breakdown_torque: Given = 3.0
    no_load_amps: Given = 0.4
    inertia: Given = 0.03

    def __post_init__(self) -> None:
        for field, name, unit, low, high, above in (
            ("kilowatts", "Rated power", "kW", 0, MAX_KW, True),
            ("volts", "Rated voltage", "V", 0, MAX_VOLTS, True),
            ("amps", "Rated current", "A", 0, MAX_AMPS, True),
            ("rpm", "Rated speed", "rpm", 0, 60_000, True),
            ("hertz", "Frequency", "Hz", 0, 1000, True),
            ("power_factor", "Power factor", "", 0, 1, True),
            ("efficiency", "Efficiency", "", 0, 1, True),
            ("service_factor", "Service factor", "", 1, 2, False),
            ("locked_amps", "Locked-rotor current / rated", "", 1, 15, True),
            ("locked_torque", "Locked-rotor torque / rated", "", 0, 10, True),
            ("breakdown_torque", "Breakdown torque / rated", "", 1, 10, True),
            ("no_load_amps", "No-load current / rated", "", 0, 0.95, False),
            ("inertia", "Inertia of the rotor", "kg·m²", 0, 1e5, True),
        ):
            number, _ = given(name, getattr(self, field), unit, low, high, above=above)
            object.__setattr__(self, field, number)
        if self.temperature_rise is not None:
            rise, _ = given("Temperature rise", self.temperature_rise, "°C", 1, 200)
            object.__setattr__(self, "temperature_rise", rise)
        if self.slip > 0.2:
            rule = f"with {self.poles} poles a slip of {show(100 * self.slip, '%')}; a cage motor's is at most 20 %"
            fields = [120 * float(self.hertz) / poles for poles in (2, 4, 6, 8)]
            legal = tuple(f"{show(0.8 * field)} to below {show(field, 'rpm')}" for field in fields)
            raise LadderError("Rated speed", rule, show(float(self.rpm), "rpm"), legal)
        if float(self.locked_torque) > float(self.breakdown_torque):
            rule = f"at most the breakdown torque, {self.breakdown_torque:g}"
            raise LadderError("Locked-rotor torque / rated", rule, self.locked_torque)
        self._check_power()

    def _check_power(self) -> None:
        electric = math.sqrt(3) * float(self.volts) * float(self.amps) / 1000
        reckoned = electric * float(self.power_factor) * float(self.efficiency)
        if abs(reckoned - float(self.kilowatts)) > _TRUE_TO * float(self.kilowatts):
            rule = (
                f"volts, amperes, power factor {self.power_factor:g} and efficiency {self.efficiency:g} "
                f"give {show(reckoned, 'kW')} at the shaft; the two may differ by 15 %"
            )
            raise LadderError("Rated power", rule, show(float(self.kilowatts), "kW"))

    @property
    def poles(self) -> int:
        """Number of poles, found from the rated speed."""
        return poles_of(self.hertz, self.rpm)

    @property
    def synchronous_rpm(self) -> float:
        """Synchronous speed [rpm]."""
        return 120 * float(self.hertz) / self.poles

    @property
    def slip(self) -> float:
        """Rated slip as a share [unitless]."""
        return 1 - float(self.rpm) / self.synchronous_rpm

    @property
    def torque(self) -> float:
        """Rated torque [N·m]."""
        return float(self.kilowatts) * 1000 / (2 * math.pi * float(self.rpm) / 60)

    @property
    def current(self) -> Answer:
        """The rated current as an answer that knows it is the nameplate's: for the overload relay, NEC 430.6(A)(2)."""
        return Answer(
            "Nameplate current", float(self.amps), "A", (f"nameplate: {show(float(self.amps), 'A')}",), basis=NAMEPLATE
        )

    def _fields(self) -> list[tuple[str, str]]:
        rise = "not marked" if self.temperature_rise is None else show(float(self.temperature_rise), "°C")
        return [
            ("rated power", show(float(self.kilowatts), "kW")),
            ("rated voltage", show(float(self.volts), "V")),
            ("rated current", show(float(self.amps), "A")),
            ("rated speed", f"{show(float(self.rpm), 'rpm')} of {show(self.synchronous_rpm, 'rpm')}"),
            ("poles, frequency", f"{self.poles}, {show(float(self.hertz), 'Hz')}"),
            ("rated torque", show(self.torque, "N·m")),
            ("power factor, efficiency", f"{self.power_factor:g}, {self.efficiency:g}"),
            ("service factor, temperature rise", f"{self.service_factor:g}, {rise}"),
        ]

    def __str__(self) -> str:
        return "\n".join(f"{name}: {value}" for name, value in self._fields())

    def _repr_html_(self) -> str:
        rows = "".join(
            f'<tr><th scope="row" style="text-align:left">{escape(name)}</th>'
            f'<td style="text-align:left">{escape(value)}</td></tr>'
            for name, value in self._fields()
        )
        head = '<caption style="text-align:left">Nameplate</caption>'
        return f"<table>{head}<tbody>{rows}</tbody></table>"
