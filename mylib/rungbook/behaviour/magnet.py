"""The armature of one coil: when voltage moves it, and when each kind of its contacts changes over."""

from __future__ import annotations

from dataclasses import dataclass

from rungbook.kit.ratings import CoilRating

Planned = tuple[int, tuple[tuple[int, bool], ...], str]


@dataclass
class Magnet:
    """One coil with its armature.

    tag: designation. load: number of its load. nc, no: numbers of its contacts. phase: "out"; "pulling" (voltage, but
    the armature has not left); "closing" (on its way in, the NC contacts open); "in"; "dropping" (no voltage, but it
    has not left); "opening" (on its way out, the NO contacts open).

    Voltage that turns back before the armature leaves calls the move off. An armature on its way arrives: that takes
    2 ms, less than the flux takes to change (common practice); what the voltage does meanwhile counts from then on. So
    a relay changes over as a whole or not at all, as the untimed panel has it.
    """

    tag: str
    load: int
    nc: tuple[int, ...]
    no: tuple[int, ...]
    rating: CoilRating
    slower: int = 0  # than a coil of this rating at its best [us]
    phase: str = "out"

    @property
    def pulled(self) -> bool:
        """True if the NO contacts are closed."""
        return self.phase in ("in", "dropping")

    def answer(self, share: float) -> list[Planned] | None:
        """What the armature does at `share` of its rated voltage: a new plan that replaces the old, or None to go on.

        A plan is a list of (delay [us], (contact number, closed) …, the phase that begins then).
        """
        rating = self.rating
        if self.phase == "out" and share >= rating.pull_in:
            self.phase = "pulling"
            return [
                (self._micro(rating.nc_opens), tuple((number, False) for number in self.nc), "closing"),
                (self._micro(rating.operates), tuple((number, True) for number in self.no), "in"),
            ]
        if self.phase == "in" and share < rating.drop_out:
            self.phase = "dropping"
            return [
                (self._micro(rating.no_opens), tuple((number, False) for number in self.no), "opening"),
                (self._micro(rating.releases), tuple((number, True) for number in self.nc), "out"),
            ]
        if (self.phase == "pulling" and share < rating.pull_in) or (
            self.phase == "dropping" and share >= rating.drop_out
        ):
            self.phase = "out" if self.phase == "pulling" else "in"
            return []
        return None

    def _micro(self, seconds: float) -> int:
        return round(seconds * 1_000_000) + self.slower
