"""Zip files that are the same to the byte for the same content."""

from __future__ import annotations

import io
import zipfile
from collections.abc import Mapping

_DATE = (2000, 1, 1, 0, 0, 0)  # of every file in a zip


def zip_of(files: Mapping[str, bytes]) -> bytes:
    """A zip file with these names and contents."""
    buffer = io.BytesIO()
    with zipfile.ZipFile(buffer, "w", zipfile.ZIP_DEFLATED) as archive:
        for name, data in sorted(files.items()):
            entry = zipfile.ZipInfo(name, _DATE)
            entry.compress_type = zipfile.ZIP_DEFLATED
            entry.external_attr = 0o644 << 16
            archive.writestr(entry, data)
    return buffer.getvalue()
