"""What lives beside the control circuit and acts on it in time: the interface, and the fuse of the control supply."""

from __future__ import annotations

from typing import TYPE_CHECKING, Protocol

from rungbook.behaviour import fuse
from rungbook.behaviour.fuse import Fuse, FuseState

if TYPE_CHECKING:
    from rungbook.behaviour.timeline import Timeline

_NOTICED = 0.5  # share of its rating from which a current is held to warm the fuse at all


class Neighbour(Protocol):
    """Something with a state of its own that watches a timeline and moves devices on it."""

    @property
    def due(self) -> int | None:
        """When it will do something by itself if nothing else happens [us], or None."""
        ...

    def tick(self, timeline: Timeline) -> None:
        """Do what is due now."""
        ...

    def react(self, timeline: Timeline) -> None:
        """Look at the panel after something has happened; move devices with `Timeline.force` if need be."""
        ...


class SupplyFuse:
    """The fuse of the control supply: melts by its heat, opens the supply, is whole again only when renewed."""

    def __init__(self, rating: float) -> None:
        self.state = FuseState(Fuse(rating))

    def renew(self, now: int) -> None:
        """Put a new, cold fuse of the same rating in, at `now` [us]."""
        self.state = FuseState(self.state.fuse, now)

    @property
    def due(self) -> int | None:
        """When it melts [us], or None."""
        return fuse.due(self.state)

    def tick(self, timeline: Timeline) -> None:
        """Melt if it is time."""
        self.state = fuse.step(self.state, timeline.now, self.state.current)
        if fuse.output(self.state):
            timeline.blow_fuse()

    def react(self, timeline: Timeline) -> None:
        """Note the current of the control supply."""
        amps = timeline.supply_amps()
        if amps > _NOTICED * self.state.fuse.rating or self.state.current or self.state.heat > 1e-6:
            self.state = fuse.step(self.state, timeline.now, amps)
