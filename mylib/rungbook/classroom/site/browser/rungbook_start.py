"""Import what the kernel and every lab need. Lies beside the packages in their archive, not in `rungbook`.

The kernel asks for `piplite`, which fetches packages. The site has all that there are: a module of that name says so.
"""

import sys
import types


class NothingToInstallError(RuntimeError):
    """Raised by `%pip install` in a cell."""


async def _install(*_: object, **__: object) -> None:
    raise NothingToInstallError("this edition has its packages with it and installs no others")


async def _code_for_pip(_: object) -> str:
    return "import piplite; await piplite.install()"


def _no_installer() -> None:
    piplite, inner, cli = (types.ModuleType(name) for name in ("piplite", "piplite.piplite", "piplite.cli"))
    piplite.__dict__.update(piplite=inner, cli=cli, install=_install)
    cli.__dict__.update(get_transformed_code=_code_for_pip)
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
