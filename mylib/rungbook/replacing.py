"""A file is replaced in one step, or stays as it was."""

from __future__ import annotations

import os
import tempfile
from pathlib import Path


def replace_bytes(path: Path, data: bytes, mode: int = 0o600, *, sync: bool = False) -> None:
    """Put `data` at `path` with the permissions `mode`, whole or not at all; its folder must be there.

    sync: on the disk before it takes its place. Raises OSError if it cannot be written; nothing is left beside `path`.
    """
    handle, beside = tempfile.mkstemp(dir=path.parent, prefix=".replacing.")
    try:
        with os.fdopen(handle, "wb") as file:
            file.write(data)
            if sync:
                file.flush()
                os.fsync(file.fileno())
        os.chmod(beside, mode)
        os.replace(beside, path)
    except BaseException:
        Path(beside).unlink(missing_ok=True)
        raise
