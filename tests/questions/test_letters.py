"""Letters as people write them on a worksheet or type them."""

from __future__ import annotations

import pytest

from trainer.errors import Unreadable
from trainer.questions.kinds.letters import read_letters

KNOWN = ["A", "B", "C", "D"]


@pytest.mark.parametrize(
    "typed",
    ["C, A, D", "c a d", "CAD", "C; A; D", "C-A-D", " c.\nA.\nD. ", "C, A and D", "C, A y D", "(C) (A) (D)"],
)
def test_letters_are_read_in_the_order_written(typed: str) -> None:
    assert read_letters(typed, KNOWN) == ["C", "A", "D"]


@pytest.mark.parametrize(
    ("typed", "sentence"),
    [
        ("", "No letter is there; write one or more of A, B, C, D"),
        (" , ", "No letter is there"),
        ("A, E", "E is none of the letters; they are A, B, C, D"),
        ("A, 2", "2 is none of the letters"),
        ("bad idea", "IDEA is none of the letters"),
        ("A, B, A", "A stands there twice"),
    ],
)
def test_what_is_no_list_of_letters_is_refused(typed: str, sentence: str) -> None:
    with pytest.raises(Unreadable, match=sentence) as refused:
        read_letters(typed, KNOWN)
    assert refused.value.in_language("es") != refused.value.in_language("en")
