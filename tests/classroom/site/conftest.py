"""The site is built once in a run, only where SITE_TOOLS names the environment with the tools.

That environment is made and filled if it is not there; elsewhere these tests are left out and say so.
"""

import os
from collections.abc import Iterator
from pathlib import Path

import pytest

from rungbook.classroom.site import Site
from site_browser import built, served


@pytest.fixture(scope="session", name="site")
def _site(tmp_path_factory: pytest.TempPathFactory) -> Site:
    tools = os.environ.get("SITE_TOOLS")
    if not tools:
        pytest.skip("set SITE_TOOLS to an environment with the tools of `rungbook site`, or to a new folder for one")
    return built(tmp_path_factory.mktemp("site") / "cider", Path(tools))


@pytest.fixture(scope="session", name="base")
def _base(site: Site) -> Iterator[str]:
    with served(site.folder) as address:
        yield address
