"""The panel of a board with its power circuit: what the motors do, and whether phases are shorted, in each state.

A contactor closes its main poles with its armature; a welded pole stays closed. What the control circuit does not have,
such as a disconnect, is closed. No times: whether a motor that loses a phase was turning already, how long an overload
relay takes, and that a short melts the main fuses for good, are not in here. The timeline with a `Plant` knows the
first two.
"""

from __future__ import annotations

from dataclasses import replace
from itertools import combinations

from rungbook.behaviour.board import Board
from rungbook.behaviour.board_panel import BoardPanel
from rungbook.behaviour.panel import State
from rungbook.behaviour.power import MotorFeed, PowerFaults, PowerReading, Short, energise
from rungbook.circuit.power import PowerCircuit
from rungbook.errors import LadderError
from rungbook.kit import Device

STILL = "stands still"
#: state of a motor -> what an operator sees; {way} is "forwards" or "backwards".
WORDS = {
    "off": STILL,
    "live, no current": STILL,
    "single-phasing": "hums on two phases and does not start",
    "direct": "runs {way}",
    "star": "runs {way} in star",
    "delta": "runs {way} in delta",
    "delta, wrong phase pairs": "is in delta with wrong phase pairs",
    "unbalanced": "gets unequal voltages and hums",
    "short": "is behind a short",
}
WAYS = {"forwards": 1, "backwards": -1}
_STILL = ("off", "live, no current", "short")


class MotorPanel(BoardPanel):
    """A board, a power circuit and its `faults`, for walking over their states. `motors`: designations.

    kept: readings of the same circuit with the same faults, by the devices that are closed; shared between panels.
    Raises LadderError as `BoardPanel` and `energise`, if there is no motor, or if a contactor of the power circuit has
    no coil on the board.
    """

    def __init__(
        self,
        board: Board,
        circuit: PowerCircuit,
        faults: PowerFaults | None = None,
        kept: dict[frozenset[str], PowerReading] | None = None,
    ) -> None:
        if not isinstance(circuit, PowerCircuit):
            raise LadderError("Motor panel", "works on a PowerCircuit", circuit, ("reversing()",))
        self.faults = PowerFaults() if faults is None else faults
        welded = frozenset(tag for tag, _ in self.faults.welded if board.stuck.get(tag) != "in")
        coils = tuple(load.device for load in board.loads if load.kind == "coil")
        super().__init__(replace(board, welded=board.welded | (welded & set(coils))))
        circuit.validate()
        for device in circuit.devices:
            if device.kind == "contactor" and device.tag not in coils:
                rule = f"the contactor {device.tag} of the power circuit has no coil in the control circuit"
                raise LadderError("Motor panel", rule, device.tag, coils)
        if not circuit.motors:
            raise LadderError("Motor panel", "the power circuit has no motor", circuit.title, ("direct()",))
        self.circuit = circuit
        self.motors = tuple(motor.tag for motor in circuit.motors)
        self.devices |= {tag: Device(tag, "motor") for tag in self.motors if tag not in self.devices}
        self._kept = {} if kept is None else kept
        switched = [device.tag for device in circuit.devices if device.tag[0] == "Q"]
        self._switched = tuple(tag for tag in switched if tag in board.devices)
        self._always = frozenset(tag for tag in switched if tag not in board.devices)
        self.contactors = tuple(tag for tag in self._switched if tag in coils)
        self._now: dict[State, PowerReading] = {}

    def power(self, state: State) -> PowerReading:
        """What the power circuit does in `state`."""
        found = self._now.get(state)
        if found is None:
            closed = {tag for tag in self._switched if self.position(tag, state) in ("in", "on")}
            found = self._now[state] = self._reading(self._always | closed)
        return found

    def _reading(self, closed: frozenset[str]) -> PowerReading:
        if closed not in self._kept:
            self._kept[closed] = energise(self.circuit, closed, self.faults)
        return self._kept[closed]

    def shorts(self, state: State) -> tuple[Short, ...]:
        """The shorts between phases in `state`."""
        return self.power(state).shorts

    def feed(self, motor: str, state: State) -> MotorFeed:
        """What motor `motor` gets in `state`. Raises LadderError if there is no such motor."""
        return self.power(state)[motor]

    def is_on(self, tag: str, state: State) -> bool:
        """As `BoardPanel`; of a motor: True if current flows in it, whether or not it starts."""
        if tag in self.motors:
            return self.feed(tag, state).state not in _STILL
        return super().is_on(tag, state)

    def motor_word(self, tag: str, state: State) -> str:
        """What an operator sees of motor `tag`: "runs forwards", "stands still", …"""
        feed = self.feed(tag, state)
        way = next((word for word, sign in WAYS.items() if sign == feed.direction), "")
        return WORDS[feed.state].format(way=way)

    def would_short(self) -> tuple[tuple[str, str], ...]:
        """Pairs of contactors that short phases when both are in."""
        pairs = combinations(self.contactors, 2)
        return tuple(pair for pair in pairs if self._reading(self._always | set(pair)).shorts)

    def met(self, motor: str) -> set[str]:
        """The states (`power.STATES`) in which `motor` has been seen so far."""
        return {reading[motor].state for reading in self._now.values()}

    def does(self) -> object:
        """Equal for two panels of one board whose power circuits do the same whichever devices are closed."""
        switched = self._switched
        subsets = (
            frozenset(tag for k, tag in enumerate(switched) if number >> k & 1) for number in range(1 << len(switched))
        )
        readings = (self._reading(self._always | closed) for closed in subsets)
        welded = {pair for pair in self.faults.welded if pair[0] in self.contactors}
        return self.board.welded, frozenset(welded), tuple(str(reading) for reading in readings)

    def reason(self, tag: str, wanted_on: bool, state: State) -> str:
        """As `BoardPanel`; of a motor: which main poles feed it, and why they are closed."""
        if tag in self.motors:
            return self.poles_told(state)
        return super().reason(tag, wanted_on, state)

    def poles_told(self, state: State) -> str:
        """How the contactors stand: "Q1 is in. Q2 is out, but its poles 1-2, 3-4, 5-6 are welded."."""
        told = []
        for tag in self.contactors:
            poles = sorted(pole for device, pole in self.faults.welded if device == tag)
            inside = self.position(tag, state) == "in"
            if inside and self.board.stuck.get(tag) == "in":
                told.append(f"{tag} is stuck in.")
            elif not inside and poles:
                names = f"pole {poles[0]} is" if len(poles) == 1 else f"poles {', '.join(poles)} are"
                told.append(f"{tag} is out, but its {names} welded.")
            else:
                told.append(f"{tag} is {'in' if inside else 'out'}.")
        return " ".join(told)
