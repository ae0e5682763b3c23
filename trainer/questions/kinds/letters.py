"""Letters as people write them in answer to lettered lines: "C, A, D", "C A y D", "cad"."""

from __future__ import annotations

import re
from collections.abc import Sequence
from typing import Final

from trainer.errors import Unreadable
from trainer.languages import Text

BETWEEN: Final = frozenset({"AND", "Y"})
UNKNOWN: Final = Text(
    en="%(given)s is none of the letters; they are %(known)s.",
    es="%(given)s no es una de las letras; son %(known)s.",
)
TWICE: Final = Text(
    en="%(given)s stands there twice; write it once.", es="%(given)s está dos veces; escríbala una vez."
)
NONE: Final = Text(
    en="No letter is there; write one or more of %(known)s.",
    es="No hay ninguna letra; escriba una o más de %(known)s.",
)


def read_letters(typed: str, known: Sequence[str]) -> list[str]:
    """The letters in the order written, each at most once. known: the letters there are.

    Raises Unreadable when there is none, one that is not known, or one twice.
    """
    found: list[str] = []
    for word in re.findall(r"\w+", typed.upper()):
        if word in BETWEEN:
            continue
        # "CAD" is three letters when all of them are known; otherwise the whole word is shown back.
        letters = list(word) if set(word) <= set(known) else [word]
        for letter in letters:
            if letter not in known:
                raise Unreadable(UNKNOWN, given=letter[:20], known=", ".join(known))
            if letter in found:
                raise Unreadable(TWICE, given=letter)
            found.append(letter)
    if not found:
        raise Unreadable(NONE, known=", ".join(known))
    return found
