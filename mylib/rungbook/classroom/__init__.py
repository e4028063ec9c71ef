"""What an instructor runs: build the labs, make a class folder, hand in samples, mark, report.

Enters: Markdown sources and submitted notebooks. Leaves: released notebooks, a gradebook, feedback pages, a CSV.
nbgrader, jupytext and tqdm are loaded only in the function that needs them.
"""

from __future__ import annotations

import sys

# nbformat imports jsonschema, which imports this package where another one has installed it, for a check of addresses
# that no notebook has; its grammar takes longer to load than all the rest of nbformat
sys.modules.setdefault("rfc3987_syntax", None)  # type: ignore[arg-type]
