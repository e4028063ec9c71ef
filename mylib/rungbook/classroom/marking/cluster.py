"""Send the marking to a Dask cluster. Its workers need this package; submissions go to them, marks come back."""

from __future__ import annotations

from collections.abc import Iterator
from concurrent.futures import Executor
from contextlib import contextmanager

from rungbook.errors import LadderError


@contextmanager
def connect(address: str) -> Iterator[tuple[Executor, int]]:
    """Connect to the scheduler at `address`; give an executor and how many tasks its workers run at once.

    Raises LadderError if Dask is not installed, nothing answers within ten seconds, or the cluster has no workers.
    """
    try:
        from distributed import Client
    except ImportError:
        raise LadderError("--cluster", 'needs Dask; install it with: pip install "rungbook[cluster]"') from None
    try:
        client = Client(address, timeout=10)
    except (OSError, ValueError) as problem:
        raise LadderError("--cluster", f"no scheduler answers ({problem})", address) from None
    with client:
        width = sum(client.nthreads().values())
        if not width:
            raise LadderError("--cluster", "the scheduler has no workers", address)
        yield client.get_executor(pure=False), width
