"""The pin on schemdraw's private side: a new version fails here first, and nowhere else."""

from __future__ import annotations

import subprocess
import sys
from xml.etree import ElementTree as ET

import schemdraw
from schemdraw import drawing_stack
from schemdraw import elements as elm

from rungbook import draw

from .strategies import every_kind, holding

SVG = "{http://www.w3.org/2000/svg}"


def _in_a_new_process(code: str) -> None:
    prelude = "import sys\nfrom rungbook import Ladder, NO, coil\nimport rungbook\nladder = Ladder('x')\n"
    prelude += "ladder.rung(NO('S1'), coil('Q1'))\n"
    done = subprocess.run([sys.executable, "-c", prelude + code], capture_output=True, text=True, check=False)
    assert done.returncode == 0, done.stderr


def test_the_version_is_the_one_this_was_written_for() -> None:
    assert schemdraw.__version__ == "0.23"


def test_every_symbol_has_a_group_with_its_device_and_its_strokes() -> None:
    tree = ET.fromstring(draw(every_kind()).svg)
    groups = [group for group in tree.iter(f"{SVG}g") if group.get("class") == "symbol"]
    assert len(groups) == 7 + 1 + 7 + 3
    for group in groups:
        assert group.get("data-device")
        assert len(group) >= 2
    loose = [child.tag for child in tree if child.tag not in {f"{SVG}{n}" for n in ("g", "title", "desc", "rect")}]
    assert loose == [], "marks outside a group"


def test_drawing_loads_neither_matplotlib_nor_numpy() -> None:
    _in_a_new_process(
        "assert 'schemdraw' not in sys.modules\nrungbook.draw(ladder)\n"
        "heavy = {'matplotlib', 'numpy'} & {name.split('.')[0] for name in sys.modules}\n"
        "assert not heavy, heavy\nassert 'schemdraw.backends.mpl' not in sys.modules\n"
    )


def test_a_matplotlib_drawing_of_ones_own_works_afterwards() -> None:
    _in_a_new_process(
        "rungbook.draw(ladder)\n"
        "import matplotlib; matplotlib.use('Agg')\n"
        "import schemdraw, schemdraw.elements as elm\n"
        "own = schemdraw.Drawing(show=False)\nown += elm.Resistor().label('1 kOhm')\n"
        "assert own.get_imagedata('png').startswith(b'\\x89PNG')\n"
        "assert elm.Resistor()._repr_png_().startswith(b'\\x89PNG')\n"
        "from schemdraw.backends.mpl import Figure\nassert isinstance(own.fig, Figure)\n"
        "import schemdraw.schemdraw as inner\nassert inner.mplFigure is Figure\n"
    )


def test_a_matplotlib_drawing_of_ones_own_works_before() -> None:
    _in_a_new_process(
        "import matplotlib; matplotlib.use('Agg')\nimport schemdraw, schemdraw.elements as elm\n"
        "own = schemdraw.Drawing(show=False)\nown += elm.Resistor()\nown.draw(show=False)\n"
        "before = rungbook.draw(ladder).svg\nown += elm.Resistor()\n"
        "assert own.get_imagedata('png').startswith(b'\\x89PNG')\n"
    )


def test_it_draws_where_there_is_no_matplotlib() -> None:
    _in_a_new_process(
        "sys.modules['matplotlib'] = None\nassert rungbook.draw(ladder).svg.startswith('<svg')\n"
        "import schemdraw.schemdraw as inner\nassert inner.mplFigure is None\n"
    )


def test_a_drawing_that_is_open_takes_in_none_of_ours() -> None:
    with schemdraw.Drawing(show=False, canvas="svg") as own:
        elm.Resistor()
        draw(holding())
        elm.Capacitor()
    assert [type(element) for element in own.elements] == [elm.Resistor, elm.Capacitor]
    assert drawing_stack.pause is False
    assert drawing_stack.drawing_stack == {}


def test_a_theme_of_ones_own_changes_nothing_and_is_kept() -> None:
    before = draw(holding())
    inner = sys.modules["schemdraw.schemdraw"]
    kept = dict(inner.schemdrawstyle)  # type: ignore[attr-defined]
    try:
        schemdraw.theme("dark")
        schemdraw.config(lw=9, fontsize=40, unit=7, inches_per_unit=2, fill="red", margin=3)
        schemdraw.debug()
        chosen = dict(inner.schemdrawstyle)  # type: ignore[attr-defined]
        assert draw(holding()) == before
        assert dict(inner.schemdrawstyle) == chosen  # type: ignore[attr-defined]
    finally:
        inner.schemdrawstyle.clear()  # type: ignore[attr-defined]
        inner.schemdrawstyle.update(kept)  # type: ignore[attr-defined]


def test_text_is_not_read_as_mathematics() -> None:
    ladder = holding()
    ladder.title = "Wash & rinse: $x^2$ < 3 µA"
    tree = ET.fromstring(draw(ladder).svg)
    assert ladder.title in [text.text for text in tree.iter(f"{SVG}text")]
