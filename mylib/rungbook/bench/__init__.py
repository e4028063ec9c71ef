"""What a person handles in a notebook: the hunt for a hidden fault with a meter.

Enters: a circuit, and orders and leads in the words of the bench. Leaves: what is seen and read, in V and ohm, and an
answer as plain JSON data. Imports `kit`, `circuit`, `behaviour`, `proof`.
"""

from rungbook.bench.hunt import FaultHunt

__all__ = ["FaultHunt"]
