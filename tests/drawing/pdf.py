"""What a PDF made by Chromium says: its pages, their size, the text on each. Enough of PDF for that and no more."""

from __future__ import annotations

import re
import zlib
from collections.abc import Iterator

_OBJECT = re.compile(rb"(?:^|\n)(\d+) 0 obj\b(.*?)\nendobj", re.DOTALL)
_STREAM = re.compile(rb"stream\r?\n(.*)\r?\nendstream", re.DOTALL)
_SHOWN = re.compile(rb"/F(\d+) [\d.-]+ Tf|<([0-9A-Fa-f]+)>(?=[^<>\[\]]*?T[jJ]|[\s\d.-]*[<\]])")


class Pdf:
    """A PDF, its objects by number."""

    def __init__(self, data: bytes) -> None:
        self.objects = {int(number): body for number, body in _OBJECT.findall(data)}
        self._pages = [body for body in self.objects.values() if re.search(rb"/Type\s*/Page\b", body)]

    def __len__(self) -> int:
        return len(self._pages)

    def sizes(self) -> list[tuple[float, float]]:
        """Width and height of each page [mm]."""
        found = [re.search(rb"/MediaBox\s*\[\s*0 0 ([\d.]+) ([\d.]+)\s*\]", page) for page in self._pages]
        return [(float(box[1]) / 72 * 25.4, float(box[2]) / 72 * 25.4) for box in found if box]

    def images(self) -> int:
        """How many raster images it holds."""
        return sum(b"/Subtype /Image" in body for body in self.objects.values())

    def texts(self) -> list[str]:
        """The text of each page, letter by letter as it can be selected, without blanks."""
        return ["".join(self._text(page)) for page in self._pages]

    def _text(self, page: bytes) -> Iterator[str]:
        contents = re.search(rb"/Contents (\d+) 0 R", page)
        assert contents is not None
        letters: dict[int, str] = {}
        for font, glyphs in _SHOWN.findall(self._stream(int(contents[1]))):
            if font:
                letters = self._letters(int(font))
                continue
            codes = [int(glyphs[k : k + 4], 16) for k in range(0, len(glyphs), 4)]
            yield "".join(letters.get(code, "\ufffd") for code in codes).replace(" ", "").replace("\xa0", "")

    def _stream(self, number: int) -> bytes:
        body = self.objects[number]
        found = _STREAM.search(body)
        assert found is not None
        return zlib.decompress(found[1]) if b"FlateDecode" in body else found[1]

    def _letters(self, font: int) -> dict[int, str]:
        named = re.search(rb"/ToUnicode (\d+) 0 R", self.objects[font])
        if named is None:
            return {}
        text = self._stream(int(named[1])).decode("latin-1")
        found: dict[int, str] = {}
        for block in re.findall(r"beginbfchar(.*?)endbfchar", text, re.DOTALL):
            for code, word in re.findall(r"<(\w+)> <(\w+)>", block):
                found[int(code, 16)] = bytes.fromhex(word).decode("utf-16-be")
        for block in re.findall(r"beginbfrange(.*?)endbfrange", text, re.DOTALL):
            for first, last, word in re.findall(r"<(\w+)> <(\w+)> <(\w+)>", block):
                for k in range(int(last, 16) - int(first, 16) + 1):
                    found[int(first, 16) + k] = chr(int(word, 16) + k)
        return found
