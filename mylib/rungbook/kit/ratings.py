"""Electrical ratings of the training kit: coils, lamps, the control supply. Invented but plausible values.

Limits of operation of a coil are those of IEC 60947-4-1 for a.c.: picks up at or above 85 % of its rated voltage,
drops out between 75 % and 20 % of it. The values below lie within them; a real part's data sheet comes first.

The gap in which an armature has left one kind of contacts and not reached the other is 2 ms (common practice: some
milliseconds at most): shorter than any release takes, so nothing drops out because a relay changes over.
"""

from __future__ import annotations

import math
from dataclasses import dataclass


@dataclass(frozen=True)
class CoilRating:
    """An a.c. coil.

    volts: rated voltage [V]. inrush_va, sealed_va: apparent power with the magnet open and closed [VA];
    inrush_pf, sealed_pf: their power factors [unitless]. pull_in, drop_out: voltage at or above which it operates,
    and below which it releases, as shares of `volts` [unitless]. nc_opens, operates: time from voltage to the opening
    of the NC contacts, and to the closing of the NO contacts [s]. no_opens, releases: time from the loss of voltage to
    the opening of the NO contacts, and to the closing of the NC contacts [s].
    """

    volts: float = 120.0
    inrush_va: float = 60.0
    inrush_pf: float = 0.7
    sealed_va: float = 8.0
    sealed_pf: float = 0.3
    pull_in: float = 0.85
    drop_out: float = 0.5
    nc_opens: float = 0.014
    operates: float = 0.016
    no_opens: float = 0.006
    releases: float = 0.008

    @property
    def gap(self) -> float:
        """The longest time for which neither the NC nor the NO contacts are closed while it changes over [s]."""
        return max(self.operates - self.nc_opens, self.releases - self.no_opens)

    def ohms(self, pulled_in: bool) -> complex:
        """Impedance at rated frequency [ohm], with the magnet closed or open; inductive."""
        power, factor = (self.sealed_va, self.sealed_pf) if pulled_in else (self.inrush_va, self.inrush_pf)
        size = self.volts**2 / power
        return complex(size * factor, size * math.sqrt(1 - factor**2))


@dataclass(frozen=True)
class LampRating:
    """A pilot lamp: rated voltage [V], power [W]; it is seen to be lit from the share `lit` of its voltage upwards."""

    volts: float = 120.0
    watts: float = 2.0
    lit: float = 0.5

    @property
    def ohms(self) -> complex:
        """Resistance at rated voltage [ohm]."""
        return complex(self.volts**2 / self.watts)


@dataclass(frozen=True)
class SupplyRating:
    """The control supply: open-circuit voltage [V], frequency [Hz], source impedance [ohm], fuse rating [A]."""

    volts: float = 120.0
    hertz: float = 60.0
    ohms: complex = 1.5 + 0.8j
    fuse_amps: float = 2.0


CONTACTOR_COIL = CoilRating()
RELAY_COIL = CoilRating(
    inrush_va=3.5,
    inrush_pf=0.6,
    sealed_va=2.4,
    sealed_pf=0.5,
    nc_opens=0.012,
    operates=0.014,
    no_opens=0.005,
    releases=0.007,
)
TIMER_COIL = CoilRating(
    inrush_va=2.0,
    inrush_pf=0.9,
    sealed_va=2.0,
    sealed_pf=0.9,
    nc_opens=0.012,
    operates=0.014,
    no_opens=0.005,
    releases=0.007,
)
LAMP = LampRating()
SUPPLY = SupplyRating()
