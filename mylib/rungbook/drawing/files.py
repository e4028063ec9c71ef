"""Files of pictures and pages: SVG and HTML as they are, PDF and PNG through a Chromium browser without a window.

Nothing is half-written: what is made goes to a new file beside the target and takes its place in one step. The
browser gets a folder of its own that goes when it ends, finds no host by name, and is stopped if it takes too long.
"""

from __future__ import annotations

import os
import shutil
import signal
import subprocess
import tempfile
from collections.abc import Sequence
from contextlib import suppress
from pathlib import Path

from rungbook.errors import LadderError
from rungbook.replacing import replace_bytes

MOST_DOTS = 16_000  # of a side of a PNG; browsers draw no larger ones
SECONDS = 60.0  # the browser gets
LONG_PAGE = 1_000_000  # characters for which the browser may take as long again: sheets of a lab for a whole class
NAMES = ("chromium", "chromium-browser", "google-chrome", "chrome", "msedge")
_HOW = ("install Chromium (Debian: apt install chromium)", "set CHROMIUM to the path of one", "save as .svg or .html")
_QUIET = (
    "headless",
    "disable-gpu",
    "disable-quic",
    "no-first-run",
    "no-default-browser-check",
    "disable-background-networking",
    "disable-breakpad",
    "disable-component-update",
    "disable-extensions",
    "disable-sync",
    "hide-scrollbars",
    "host-resolver-rules=MAP * ~NOTFOUND",
)
_DESKTOP = (  # where browsers stand that are on no PATH
    "/Applications/Chromium.app/Contents/MacOS/Chromium",
    "/Applications/Google Chrome.app/Contents/MacOS/Google Chrome",
    r"C:\Program Files\Chromium\Application\chrome.exe",
    r"C:\Program Files\Google\Chrome\Application\chrome.exe",
    r"C:\Program Files (x86)\Microsoft\Edge\Application\msedge.exe",
)


def find_browser() -> str:
    """Return the path of the browser: the one that CHROMIUM names, else the first one under its usual names.

    Raises LadderError if there is none.
    """
    named = os.environ.get("CHROMIUM", "")
    if named:
        if not os.access(named, os.X_OK) or os.path.isdir(named):
            raise LadderError("CHROMIUM", "names a browser that can be started", named, _HOW)
        return named
    for path in (*filter(None, map(shutil.which, NAMES)), *filter(os.path.exists, _DESKTOP)):
        return path
    raise LadderError("save", "PDF and PNG are made by Chromium, and none was found", choices=_HOW)


def write(path: Path, data: bytes) -> Path:
    """Put `data` at `path` in one step; return the path. Raises LadderError if it cannot be written there."""
    if path.is_dir():
        raise LadderError("save", "this is a folder, not a file", str(path))
    if not path.resolve().parent.is_dir():
        raise LadderError("save", "the folder of the file does not exist", str(path))
    try:
        replace_bytes(path, data, 0o666 & ~_umask())
    except OSError as problem:
        raise LadderError("save", f"cannot be written: {problem.strerror or problem}", str(path)) from None
    return path


def _umask() -> int:
    mask = os.umask(0o022)
    os.umask(mask)
    return mask


def pdf(html: str) -> bytes:
    """Return an HTML page as PDF, its paper as `@page` says. Raises LadderError if there is no browser or it fails."""
    return _made(html, "print.pdf", ("no-pdf-header-footer", "print-to-pdf={}"), b"%PDF-")


def check_scale(scale: object, size: tuple[float, float]) -> None:
    """Raise LadderError if `scale` is no number from 0.25 to 8, or makes a side of `size` longer than 16 000 dots."""
    if isinstance(scale, bool) or not isinstance(scale, int | float) or not 0.25 <= scale <= 8:
        raise LadderError("save", "the scale of a PNG is a number from 0.25 to 8", scale, ("1", "2", "3"))
    if max(size) * scale > MOST_DOTS:
        rule = f"a PNG has at most {MOST_DOTS} dots a side, this picture of {size[0]:g} by {size[1]:g} px has more"
        raise LadderError("save", rule, scale, (f"a scale up to {MOST_DOTS / max(size):.2g}", "save as .svg or .pdf"))


def png(svg: str, width: float, height: float, scale: float = 2.0) -> bytes:
    """Return an SVG document of `width` by `height` [px] as PNG with `scale` dots a px.

    Raises LadderError if there is no browser or it fails.
    """
    html = f'<!doctype html><meta charset="utf-8"><style>body{{margin:0}}svg{{display:block}}</style>{svg}'
    size = f"window-size={_whole(width)},{_whole(height)}"
    options = (size, f"force-device-scale-factor={scale:g}", "screenshot={}")
    return _made(html, "shot.png", options, b"\x89PNG")


def _whole(length: float) -> int:
    return int(-(-length // 1))


def _made(html: str, name: str, options: Sequence[str], begins: bytes) -> bytes:
    """What the browser makes of a page. options: "{}" stands for the path of the file it makes."""
    browser = find_browser()
    with tempfile.TemporaryDirectory(prefix="rungbook-", ignore_cleanup_errors=True) as folder:
        page, target = Path(folder, "page.html"), Path(folder, name)
        page.write_text(html, encoding="utf-8", newline="\n")
        flags = [*_QUIET, f"user-data-dir={Path(folder, 'profile')}", *(one.format(target) for one in options)]
        if hasattr(os, "geteuid") and os.geteuid() == 0:
            flags.append("no-sandbox")  # Chromium does not start for the superuser otherwise
        limit = SECONDS * (1 + len(html) / LONG_PAGE)
        told = _run([browser, *(f"--{flag}" for flag in flags), page.as_uri()], limit)
        made = target.read_bytes() if target.is_file() else b""
    if not made.startswith(begins):
        last = told.strip().splitlines()[-1:] or ["it said nothing"]
        raise LadderError(
            "save", f"the browser made no {Path(name).suffix[1:].upper()}: {last[0][:200]}", browser, _HOW
        )
    return made


def _run(command: Sequence[str], limit: float) -> str:
    """Run the browser, at most `limit` [s]; return what it said. Its own processes end with it."""
    try:
        process = subprocess.Popen(
            command,
            stdin=subprocess.DEVNULL,
            stdout=subprocess.DEVNULL,
            stderr=subprocess.PIPE,
            text=True,
            errors="replace",
            start_new_session=True,
        )
    except OSError as problem:
        rule = f"the browser cannot be started: {problem.strerror or problem}"
        raise LadderError("save", rule, command[0], _HOW) from None
    try:
        _, told = process.communicate(timeout=limit)
    except subprocess.TimeoutExpired:
        _end(process)
        rule = f"the browser took longer than {limit:.3g} s and was stopped"
        raise LadderError("save", rule, command[0], _HOW) from None
    except BaseException:
        _end(process)
        raise
    return told


def _end(process: subprocess.Popen[str]) -> None:
    if hasattr(os, "killpg"):
        with suppress(ProcessLookupError):
            os.killpg(process.pid, signal.SIGKILL)
    else:
        process.kill()
    process.communicate()
