"""Every word that a person reads is spelt as a dictionary has it, or is a word of the trade on our list.

The dictionary is the English one of pyspellchecker. `words.txt` holds what it lacks; a word there that nobody uses
is taken out again.
"""

import json
import re
from collections import defaultdict
from pathlib import Path

from spellchecker import SpellChecker

ROOT = Path(__file__).parents[2]
ALLOWED = set((Path(__file__).parent / "words.txt").read_text(encoding="utf-8").split())
_NOT_PROSE = re.compile(r"```.*?```|`[^`]*`|\]\([^)]*\)|<[^>]*>|\$[^$]*\$|&[a-z]+;|\{[^}]*\}", re.DOTALL)


def words(text: str) -> set[str]:
    """The words of Markdown or HTML `text` in small letters, without code, links' targets, tags and formulas."""
    plain = _NOT_PROSE.sub(" ", text)
    found = re.findall(r"(?<![A-Za-z0-9_./])[A-Za-z][A-Za-z'’]+(?![A-Za-z0-9_])", plain)
    return {word.replace("’", "'").strip("'").lower() for word in found}


def notes(code: str) -> str:
    """The comments of a code cell."""
    return "\n".join(re.findall(r"#\s(.*)", code))


def pages() -> dict[str, set[str]]:
    """Name of each page that a person reads -> its words."""
    read: dict[str, set[str]] = defaultdict(set)
    for path in sorted((ROOT / "course").rglob("*.ipynb")):
        for cell in json.loads(path.read_text(encoding="utf-8"))["cells"]:
            source = "".join(cell["source"])
            read[str(path.relative_to(ROOT))] |= words(source if cell["cell_type"] == "markdown" else notes(source))
    for path in sorted((ROOT / "course").rglob("*.html")):
        body = re.sub(r"<style>.*?</style>", " ", path.read_text(encoding="utf-8"), flags=re.DOTALL)
        read[str(path.relative_to(ROOT))] |= words(body)
    for path in [*sorted((ROOT / "solutions").rglob("*.md")), ROOT / "README.md", ROOT / "DEVELOPERS.md"]:
        read[str(path.relative_to(ROOT))] |= words(path.read_text(encoding="utf-8"))
    return read


PAGES = pages()
USED = set().union(*PAGES.values())


def test_every_word_is_in_the_dictionary_or_on_our_list() -> None:
    assert len(USED) > 1500, "the search found no words"
    unknown = SpellChecker().unknown(USED - ALLOWED)
    unknown = {word for word in unknown if stem(word) not in ALLOWED}
    where = {word: sorted(page for page, used in PAGES.items() if word in used) for word in sorted(unknown)}
    assert where == {}


def stem(word: str) -> str:
    """`word` without the ending of a plural or a possessive."""
    return word.removesuffix("'s").removesuffix("s'").removesuffix("s")


def test_a_misspelt_word_would_be_found() -> None:
    assert SpellChecker().unknown(words("The contacter and the recieved signal; see `nocode` and [here](teh.md).")) == {
        "contacter",
        "recieved",
    }


def test_our_list_holds_no_word_that_nobody_uses() -> None:
    singular = {stem(word) for word in USED}
    assert ALLOWED - USED - singular == set()
