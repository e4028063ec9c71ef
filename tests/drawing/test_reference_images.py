"""Figures look as they did when somebody last looked at them; and the comparison sees what a person would."""

from __future__ import annotations

from collections.abc import Callable
from io import BytesIO

import pytest
from PIL import Image, ImageChops, ImageDraw
from playwright.sync_api import Browser

from .reference_images import FIGURES, FOLDER, MOST, difference, rendered, stored


def _reference(name: str) -> Image.Image:
    return Image.open(FOLDER / f"{name}.png").convert("L")


@pytest.mark.parametrize("name", FIGURES)
def test_a_figure_looks_as_its_reference(browser: Browser, name: str) -> None:
    image = rendered(browser, FIGURES[name]())
    apart = difference(_reference(name), image)
    if apart > MOST:
        beside = FOLDER / f"{name}.new.png"
        beside.write_bytes(stored(image))
        pytest.fail(
            f"{name} differs from its reference by {apart:.0f} (at most {MOST:g}). Look at {beside}; if it is right, "
            f"run: python -m tests.drawing.renew {name}"
        )


def test_every_reference_belongs_to_a_figure_and_is_small() -> None:
    files = [path for path in sorted(FOLDER.glob("*.png")) if not path.name.endswith(".new.png")]
    assert sorted(path.stem for path in files) == sorted(FIGURES)
    for path in files:
        assert path.stat().st_size <= 30_000, path.name


def _without_a_dot(image: Image.Image) -> Image.Image:
    ImageDraw.Draw(image).ellipse((162, 116, 170, 124), fill=255)
    return image


def _without_a_bar(image: Image.Image) -> Image.Image:
    ImageDraw.Draw(image).rectangle((312, 104, 336, 118), fill=255)
    return image


def _moved(image: Image.Image) -> Image.Image:
    image.paste(image.crop((400, 100, 470, 140)), (403, 100))
    return image


def _paler(image: Image.Image) -> Image.Image:
    ImageDraw.Draw(image).line((56, 70, 56, 180), fill=110, width=3)
    return image


@pytest.mark.parametrize("spoil", [_without_a_dot, _without_a_bar, _moved, _paler])
def test_a_small_mistake_in_the_holding_circuit_is_seen(spoil: Callable[[Image.Image], Image.Image]) -> None:
    assert difference(_reference("ladder-nema"), spoil(_reference("ladder-nema"))) > MOST


def test_smoothing_and_fewer_greys_are_not_seen() -> None:
    image = _reference("ladder-nema")
    soft = image.resize((image.width * 3, image.height * 3), Image.Resampling.BICUBIC).resize(image.size)
    paler = image.point(lambda grey: round(grey * 0.96 + 9))
    shifted = ImageChops.offset(image.resize((image.width * 4, image.height * 4)), 1, 1).resize(image.size)
    few = Image.open(BytesIO(stored(image))).convert("L")
    for other in (soft, paler, shifted, few):
        assert difference(image, other) < MOST


def test_another_size_is_seen() -> None:
    image = _reference("ladder-nema")
    assert difference(image, image.crop((0, 0, image.width, image.height - 3))) == 255
