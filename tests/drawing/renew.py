"""Make the reference images anew: `python -m tests.drawing.renew [NAME …]`. Look at each before it is committed."""

from __future__ import annotations

import sys
from io import BytesIO

from PIL import Image
from playwright.sync_api import sync_playwright
from tests.conftest import QUIET
from tests.drawing.reference_images import FIGURES, FOLDER, MOST, difference, rendered, stored

from rungbook.drawing.files import find_browser


def main(names: list[str]) -> int:
    """Write the images whose figure has changed, all of them if none is named; return an exit status."""
    if unknown := [name for name in names if name not in FIGURES]:
        print(f"no figure {unknown[0]}; figures: {', '.join(FIGURES)}", file=sys.stderr)
        return 2
    with sync_playwright() as playwright:
        browser = playwright.chromium.launch(executable_path=find_browser(), args=[f"--{option}" for option in QUIET])
        for name in names or FIGURES:
            data, path = stored(rendered(browser, FIGURES[name]())), FOLDER / f"{name}.png"
            apart = 255.0
            if path.is_file():
                apart = difference(Image.open(path).convert("L"), Image.open(BytesIO(data)).convert("L"))
            if apart > MOST or name in names:
                path.write_bytes(data)
                print(f"written: {path.name} ({len(data)} bytes, differed by {apart:.0f})")
            (FOLDER / f"{name}.new.png").unlink(missing_ok=True)
        browser.close()
    for path in FOLDER.glob("*.png"):
        if path.stem not in FIGURES:
            path.unlink()
            print(f"removed: {path.name}")
    return 0


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
