"""What leaves for other tools, and comes back: structured text of IEC 61131-3, XML of IEC 61131-10, CSV; and the scan.

Enters: a `Ladder`, or text that this room has written. Leaves: text; a ladder; the run of the program scan by scan
(`Scan`), times in seconds [s] at its surface and whole microseconds inside; a report of where relays and scan differ;
the proof that a written block is the relay's function (`equivalence`).
Imports `kit`, `circuit`, `behaviour`, `proof`. The standard library alone.
"""

from rungbook.exchange.comma_separated import InputTable, input_table, to_csv
from rungbook.exchange.convert import convert
from rungbook.exchange.differences import ScanReport, scan_differences
from rungbook.exchange.equivalence import Equivalence, equivalence
from rungbook.exchange.judge import Difference
from rungbook.exchange.ladder_xml import ladder_xml
from rungbook.exchange.read_text import read_structured_text
from rungbook.exchange.read_xml import read_ladder_xml
from rungbook.exchange.scan import Scan, ScanTrace
from rungbook.exchange.statements import read_statements
from rungbook.exchange.text import structured_text

__all__ = [
    "Difference",
    "Equivalence",
    "InputTable",
    "Scan",
    "ScanReport",
    "ScanTrace",
    "convert",
    "equivalence",
    "input_table",
    "ladder_xml",
    "read_ladder_xml",
    "read_statements",
    "read_structured_text",
    "scan_differences",
    "structured_text",
    "to_csv",
]
