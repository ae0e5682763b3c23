"""The check of a draw's texts: filled, in both languages, and none gives the answer away."""

from __future__ import annotations

import re
from collections.abc import Iterator
from typing import Final

from trainer.languages import LANGUAGES, Text
from trainer.questions.draw import given_away
from trainer.questions.drawn import Draw
from trainer.questions.source import Where

UNRENDERED: Final = re.compile(r"\{\{|\}\}|\{%|\bNone\b|\bnan\b|\binf\b|Undefined")
# Two words or more that are no figures, units or names of bars: said in English only, they are no Spanish.
WORDS: Final = re.compile(r"[^\W\d_]{3,}")
FEWEST_WORDS: Final = 3

UNFILLED: Final = "a text is left with a place that was not filled."
SAME: Final = "the Spanish is the English again; say it in Spanish."


class Texts:
    """What was read so far in the draws of one question: a text that comes again is not looked at again."""

    def __init__(self) -> None:
        self._seen: set[Text] = set()

    def check(self, drawn: Draw) -> Iterator[tuple[Where, str]]:
        """What is wrong with the texts of one draw: where it stands in the file, and the sentence."""
        yield from self._each(drawn.text, ("text",))
        for hint in drawn.hints:
            yield from self._each(hint, ("hints",))
            if hint_tells(drawn, hint):
                yield ("hints",), "a hint gives the answer away on some draws; stop at the first worked step."
        for text in drawn.body.texts():
            yield from self._each(text, ())

    def _each(self, text: Text, where: Where) -> Iterator[tuple[Where, str]]:
        if text in self._seen:
            return
        self._seen.add(text)
        for language in LANGUAGES:
            if UNRENDERED.search(text.in_language(language)):
                yield (*where, language) if where else ("text", language), UNFILLED
        if text.en == text.es and len(WORDS.findall(text.en)) >= FEWEST_WORDS:
            yield (*where, "es") if where else ("kind",), f"{SAME} ({text.en[:60]})"


def hint_tells(drawn: Draw, hint: Text) -> bool:
    """Whether a hint says the answer: the number as the trade writes it, or the right option in its own words."""
    if any(given_away(hint, number.expected, number.unit) for number in drawn.body.solved()):
        return True
    right = [option.text for option in getattr(drawn.body, "options", ()) if option.right]
    return any(
        option.in_language(language).strip(".").casefold() in hint.in_language(language).casefold()
        for option in right
        for language in LANGUAGES
    )
