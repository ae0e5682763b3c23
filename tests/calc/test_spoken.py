"""Measures as they are said in Spanish (site glossary, section 11)."""

from __future__ import annotations

from fractions import Fraction

import pytest

from trainer.calc import notation
from trainer.errors import Unreadable


@pytest.mark.parametrize(
    ("said", "inches"),
    [
        ("media pulgada", "1/2"),
        ("Media  pulg", "1/2"),
        ("un cuarto de pulgada", "1/4"),
        ("tres cuartos de pulgada", "3/4"),
        ("un octavo de pulgada", "1/8"),
        ("siete octavos de pulgada", "7/8"),
        ("tres dieciseisavos de pulgada", "3/16"),
        ("once dieciseisavos de pulgada", "11/16"),
        ("una pulgada y media", "3/2"),
        ("pulgada y media", "3/2"),
        ("3 pulgadas y media", "7/2"),
        ("5 pies, 3 pulgadas y media", "127/2"),
        ("un pie y medio", "18"),
        ("medio pie", "6"),
    ],
)
def test_read(said, inches):
    assert notation.read(said, "in", "es").value == Fraction(inches)


def test_other_kinds():
    assert notation.read("medio galón", "gal", "es").value == Fraction(1, 2)
    assert notation.read("8 costales", "count", "es").shown("es") == "8 sacos"
    assert notation.read("-media pulgada", "in", "es", signed=True).value == Fraction(-1, 2)


@pytest.mark.parametrize(
    "said",
    [
        "nueve cuartos de pulgada",
        "dos cuartos de pulgada",
        "media",
        "media media pulgada",
        "3 1/2 pulgadas y media",
        "media libra",
        "y media",
        "pulgada",
    ],
)
def test_not_read(said):
    with pytest.raises(Unreadable):
        notation.read(said, "in", "es")
