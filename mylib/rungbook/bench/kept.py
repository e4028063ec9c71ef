"""The picture below a widget: what a saved notebook keeps of it, hidden by the widget while that lives."""

from __future__ import annotations

from typing import Any

from IPython.display import display, update_display


class Kept:
    """One picture. name: of the widget, whose front end hides the class NAME-last."""

    def __init__(self, name: str) -> None:
        self._name, self._shown = name, False

    def show(self, widget: Any, words: str, html: str, text: str) -> None:
        """Display `widget`, in words where it cannot be shown, and the picture below it."""
        bundle = widget._repr_mimebundle_()
        data, metadata = bundle if isinstance(bundle, tuple) else (bundle, {})
        display({**(data or {}), "text/plain": words}, metadata=metadata, raw=True)
        display(self._data(html, text), raw=True, display_id=f"{self._name}-kept")
        self._shown = True

    def renew(self, html: str, text: str) -> None:
        """Put another picture in its place; nothing before `show`."""
        if self._shown:
            update_display(self._data(html, text), display_id=f"{self._name}-kept", raw=True)

    def _data(self, html: str, text: str) -> dict[str, str]:
        return {
            "text/html": f'<div class="{self._name}-last rungbook-bench-last">{html}</div>',
            "text/plain": text,
        }
