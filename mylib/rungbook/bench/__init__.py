"""What a person handles in a notebook: the bench with its operators, and the hunt for a hidden fault with a meter.

Enters: a circuit, and orders and leads in the words of the bench. Leaves: what is seen and read, in V and ohm, and an
answer as plain JSON data. Imports `kit`, `circuit`, `behaviour`, `proof`, `drawing`; ipywidgets and anywidget are
loaded by `bench(…)`, and by a hunt that is displayed, alone.

`controls` says what is on a panel, `model` is the bench without a browser, `meter` and `places` its meter, `traces`
what it remembers. `hunt` is the hunt, `hunt_view` what hands and eyes know of it, `hunt_text` its acts as text,
`hunt_page` the account of it. `widget`, `hunt_widget` and the files of `front/` put them into a notebook, `kept` is the
picture that stays there. The room and its first verb have one name: `rungbook.bench` is the verb.
"""

from __future__ import annotations

from collections.abc import Mapping
from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from rungbook.behaviour import Board, Drive
    from rungbook.bench.hunt import FaultHunt
    from rungbook.bench.widget import Bench
    from rungbook.circuit import Ladder, PowerCircuit

__all__ = ["FaultHunt", "bench"]


def bench(
    circuit: Ladder | Board,
    power: PowerCircuit | None = None,
    drives: Mapping[str, Drive] | None = None,
    symbols: str = "nema",
    paths: str = "across",
    width: float | None = None,
) -> Bench:
    """Return the bench of `circuit`, for a notebook: its live diagram, operators to handle, lamps, timers, a trace.

    A meter is on it too: volts, ohms, continuity between two terminals, as the circuit is now; ohms on a live circuit
    are refused. `.proved_dead` says whether X1 – X2 was tested in three points, supply off and locked out.
    Buttons act while they are held: by mouse, touch, Space, or the key that stands beside their name, several at once.
    Time runs as on the wall, stands still, or goes from event to event. power, drives: motors behind the contactors, as
    `rungbook.behaviour.Plant`; the power circuit is shown live below the ladder. symbols, paths, width: as `draw`.
    `.script` is what was done, as `run` reads it.

    Raises LadderError as `draw` and `run`: an unfinished ladder, a timer without a time, a device whose behaviour in
    time is not known, drives without a power circuit, a power circuit that shares no contactor with the ladder.
    """
    from rungbook.bench.model import BenchModel
    from rungbook.bench.widget import Bench

    return Bench(BenchModel(circuit, power, drives, symbols, paths, width))


def __getattr__(name: str) -> Any:
    if name == "FaultHunt":
        from rungbook.bench.hunt import FaultHunt

        return FaultHunt
    raise AttributeError(f"module 'rungbook.bench' has no attribute {name!r}")
