"""How hard a lesson is to read, and how long it takes.

grade = 0.39 x words / sentences + 11.8 x syllables / words - 15.59
(Flesch-Kincaid; Kincaid, Fishburne, Rogers and Chissom 1975, Naval Technical Training Command, report 8-75)

Counted for the grade: paragraphs, list items and boxes, each ending a sentence. Left out: headings, tables, code, figures
and their captions, worked solutions and the list of sources. A number is one word of one syllable.

minutes = words / 150 + 1/2 for each figure and each worked solution
(words of tables count too; 150 a minute lies between reading to learn, 200, and to remember, 138: Carver 1992, from memory)
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import dataclass
from typing import Final

from trainer.lessons.markdown import tokens

WORDS_A_MINUTE: Final = 150
MINUTES_A_FIGURE: Final = 0.5
MOST_GRADE: Final = 7.0
MINUTES: Final = (6, 15)
READ: Final = ("danger", "warning", "caution", "notice", "differ", "checklist")
"""The fences whose content is running text."""
LOOKED_AT: Final = ("figure", "working")
NOT_COUNTED: Final = "sources"
"""The section that lists sources: titles and numbers, not sentences."""

_WORD: Final = re.compile(r"\d+(?:[.,/]\d+)*|[A-Za-z]+(?:['’-][A-Za-z]+)*")
_END: Final = re.compile(r"(?<![ (][a-z])[.!?][\"”)*]*(?=\s|$)|\n\n")
_VOWELS: Final = re.compile(r"[aeiouy]+")
# An e that is not heard: at the end, in -ed and -es, and before a suffix.
_SILENT: Final = re.compile(
    r"[^aeiouyl]e$|[aeiou]le$|[aeiouy][^aeiouy]+e(ly|ness|ment|ful|fully|less)s?$"
    r"|[^aeiouytd]ed$|[aeiou]led$|(?<![cs]h)(?<![aeiouysxzcgl])es$|[aeiou]les$"
)
# Two vowels in a row that are heard as two.
_HEARD_TWICE: Final = (
    re.compile(r"(?<![tcsg])i(al|(?<!li)an|on|ou)|[^aeioutcsg]i(a(?!n$)|o(?!n)|u)"),
    re.compile(r"(?<![tcs])i(et$|en[ct])"),
    re.compile(r"[aeo]ing$|yi|ism$|(?<!g)[^qg]u[aeo](?!r?$)[^s]"),
)
# Words of the trade and of everyday talk that the rules miss, as the CMU Pronouncing Dictionary has them.
_IRREGULAR: Final = {
    "foreman": 2, "foremen": 2, "employer": 3, "area": 3, "areas": 3, "something": 2, "somewhere": 2, "somebody": 3,
    "safety": 2, "safely": 2, "layer": 2, "layers": 2, "geometry": 4, "yield": 1, "yields": 1, "everything": 3,
    "whoever": 3, "forecast": 2, "sideways": 2, "reaction": 3, "react": 2, "icy": 2, "evening": 2, "driveway": 2,
    "anyone": 3, "tired": 2, "supplier": 3, "suppliers": 3, "finely": 2, "easier": 3, "beyond": 2, "beforehand": 3,
    "association": 5, "any": 2, "via": 2, "ago": 2,
}  # fmt: skip


@dataclass(frozen=True, slots=True)
class Measure:
    """What a text counts."""

    words: int
    sentences: int
    syllables: int

    @property
    def grade(self) -> float:
        """The school grade (U.S.) at which it is read."""
        return 0.39 * self.words / self.sentences + 11.8 * self.syllables / self.words - 15.59


def measure(text: str) -> Measure:
    """The counts of a plain text; every block (empty line) ends a sentence."""
    found = [_WORD.findall(sentence) for sentence in sentences(text)]
    words = [word for sentence in found for word in sentence]
    return Measure(
        max(len(words), 1), max(sum(1 for sentence in found if sentence), 1), sum(map(syllables, words))
    )


def sentences(text: str) -> list[str]:
    return [sentence.strip() for sentence in _END.split(text) if sentence.strip()]


def syllables(word: str) -> int:
    """The syllables of an English word, each part of a hyphened one; of a number always 1."""
    return sum(map(_of_part, word.lower().split("-")))


def _of_part(word: str) -> int:
    bare = re.sub(r"['’]s$|['’]", "", word)
    if bare in _IRREGULAR:
        return _IRREGULAR[bare]
    if len(bare) <= 3 or bare[0].isdigit():
        return 1
    count = len(_VOWELS.findall(bare)) - bool(_SILENT.search(bare))
    return max(count + sum(bool(pattern.search(bare)) for pattern in _HEARD_TWICE), 1)


def minutes(body: str) -> float:
    """The minutes that a lesson's body takes."""
    words = sum(len(_WORD.findall(block)) for block in _blocks(body, tables=True))
    looked_at = sum(token.type == "fence" and token.info.strip() in LOOKED_AT for token in tokens(body))
    return words / WORDS_A_MINUTE + looked_at * MINUTES_A_FIGURE


def running_text(body: str) -> str:
    """The running text of a lesson's body, its places filled: one block a paragraph, without Markdown's marks."""
    return "\n\n".join(_blocks(body))


def _blocks(body: str, tables: bool = False) -> Iterator[str]:
    heading, in_table, counted = False, False, True
    for token in tokens(body):
        if token.type == "heading_open":
            heading = True
            if token.tag == "h2":
                counted = token.attrGet("id") != NOT_COUNTED
        elif token.type == "heading_close":
            heading = False
        elif token.type in ("table_open", "table_close"):
            in_table = token.type == "table_open"
        elif token.type == "fence" and token.info.strip() in READ and counted:
            yield from _blocks(token.content, tables)
        elif token.type == "inline" and counted and not heading and (tables or not in_table):
            yield "".join(child.content if child.type == "text" else " " for child in token.children or ())
