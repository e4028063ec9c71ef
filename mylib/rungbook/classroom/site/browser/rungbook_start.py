"""Import what the kernel and every lab need. Lies beside the packages in their archive, not in `rungbook`.

The kernel asks for `piplite`, which fetches packages. The site has all that there are: a module of that name says so.
"""

import sys
import types


class NothingToInstallError(RuntimeError):
    """Raised by `%pip install` in a cell."""


async def _install(*names: object, **_: object) -> None:
    raise NothingToInstallError("this edition has its packages with it and installs no others")


def _no_installer() -> None:
    piplite, inner, cli = (types.ModuleType(name) for name in ("piplite", "piplite.piplite", "piplite.cli"))
    piplite.piplite, piplite.cli, piplite.install = inner, cli, _install  # type: ignore[attr-defined]
    cli.get_transformed_code = _install  # type: ignore[attr-defined]
    sys.modules |= {"piplite": piplite, "piplite.piplite": inner, "piplite.cli": cli}


_no_installer()

import comm  # noqa: E402, F401
import ipykernel  # noqa: E402, F401
import pyodide_kernel  # noqa: E402

import rungbook  # noqa: E402, F401

# completion looks at the objects that there are; reading code that has not run yet (jedi) is left out, 1,900 files
pyodide_kernel.ipython_shell.Completer.use_jedi = False
# what lies beside the notebook is looked for last
while "" in sys.path:
    sys.path.remove("")
sys.path.append("")
