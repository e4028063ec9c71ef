from __future__ import annotations

from pathlib import Path

import pytest

from rungbook import LadderError
from rungbook.drawing import Picture

PICTURE = Picture("<svg xmlns='http://www.w3.org/2000/svg'/>", "A ladder.")


def test_a_notebook_gets_the_picture_and_the_words() -> None:
    bundle = PICTURE._repr_mimebundle_()
    assert bundle.pop("text/html").startswith('<img alt="A ladder." src="data:image/svg+xml;base64,')
    assert bundle == {"image/svg+xml": PICTURE.svg, "text/plain": "A ladder."}


def test_what_is_written_on_a_plate_is_no_mark_up_in_a_notebook() -> None:
    html = Picture(PICTURE.svg, 'Plate "<script>" & more')._repr_mimebundle_()["text/html"]
    assert 'alt="Plate &quot;&lt;script&gt;&quot; &amp; more"' in html


def test_a_notebook_may_ask_for_one_of_them() -> None:
    assert set(PICTURE._repr_mimebundle_(include=["text/plain"])) == {"text/plain"}
    assert set(PICTURE._repr_mimebundle_(exclude=["text/plain"])) == {"text/html", "image/svg+xml"}


def test_it_prints_as_its_description() -> None:
    assert repr(PICTURE) == "A ladder."


def test_it_saves_as_svg(tmp_path: Path) -> None:
    path = PICTURE.save(tmp_path / "pump.svg")
    assert path.read_text(encoding="utf-8") == PICTURE.svg


@pytest.mark.parametrize("name", ["pump.gif", "pump", "pump.svgz"])
def test_it_saves_as_nothing_else(tmp_path: Path, name: str) -> None:
    with pytest.raises(LadderError, match="writes SVG, PDF or PNG") as caught:
        PICTURE.save(tmp_path / name)
    assert caught.value.choices == ("pump.svg", "pump.pdf", "pump.png")
    assert not (tmp_path / name).exists()
