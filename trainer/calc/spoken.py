"""Measures typed as they are said in Spanish, turned into figures: "media pulgada", "3 pulgadas y media".

Only whole sayings of the site glossary are turned; anything else is left as it is, for `notation` to read or refuse.
"""

from __future__ import annotations

import re
from typing import Final

_COUNTS: Final = {
    "un": 1, "tres": 3, "cinco": 5, "siete": 7, "nueve": 9, "once": 11, "trece": 13, "quince": 15,
}  # fmt: skip
_SHARES: Final = {"cuarto": 4, "octavo": 8, "dieciseisavo": 16}

_HALF: Final = re.compile(r"medi[ao] ([a-z]+)")
_AND_A_HALF: Final = re.compile(r"(?:(?:un|una) )?([a-z]+) y medi[ao]")
_COUNTED_AND_A_HALF: Final = re.compile(r"(.*[0-9]) ?([a-z]+) y medi[ao]")
_SHARE: Final = re.compile(rf"({'|'.join(_COUNTS)}) ({'|'.join(_SHARES)})s? de ([a-z]+)")


def figures(folded: str) -> str:
    """`folded` text with its saying in figures: "media pulgada" → "1/2 pulgada"."""
    if "medi" not in folded and " de " not in folded:
        return folded  # nearly always
    text = " ".join(folded.split())
    if found := _HALF.fullmatch(text):
        return f"1/2 {found[1]}"
    if found := _AND_A_HALF.fullmatch(text):
        return f"1 1/2 {found[1]}"
    if found := _COUNTED_AND_A_HALF.fullmatch(text):
        return f"{found[1]} 1/2 {found[2]}"
    if (found := _SHARE.fullmatch(text)) and _COUNTS[found[1]] < _SHARES[found[2]]:
        return f"{_COUNTS[found[1]]}/{_SHARES[found[2]]} {found[3]}"
    return folded
