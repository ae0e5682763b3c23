"""The drawn tape can be read: every mark where it belongs, the arrow at the length, the reading said only when shown.

Read with an HTML parser from the finished drawing; positions against plain fractions of the drawn inch.
"""

from __future__ import annotations

import re
from fractions import Fraction
from itertools import pairwise

import pytest
from bs4 import BeautifulSoup
from hypothesis import given
from hypothesis import strategies as st

from trainer import calc, drawings

ROUNDING = 0.011
SIXTEENTHS = st.integers(0, 12000 * 16)


def drawn(sixteenths, shown=None, language="en"):
    evaluation = calc.evaluate("tape.round", {"length": sixteenths / 16})
    return BeautifulSoup(drawings.draw("tape.reading", evaluation, language, shown).svg, "html.parser")


def marks(soup, parts):
    """Places and lengths of the marks of one division."""
    (path,) = soup.find_all(attrs={"data-part": f"mark-{parts}"})
    found = re.findall(r"M([\d.]+) 0L([\d.]+) ([\d.]+)", path["d"])
    assert all(x == same for x, same, _ in found)
    return [(float(x), float(long)) for x, _, long in found]


def arrow_tip(soup):
    """Where the arrow meets the blade's edge: its lowest corner."""
    arrow = soup.find("g", class_="accent").find_all("path")[-1]
    numbers = [float(each) for each in re.findall(r"-?[\d.]+", arrow["d"])]
    return max(zip(numbers[::2], numbers[1::2], strict=True), key=lambda corner: corner[1])[0]


def printed(soup):
    """Whole inches printed on the tape, each with the place of the mark right after it."""
    inches = [x for x, _ in marks(soup, 1)]
    found = {}
    for text in soup.find_all("text", attrs={"data-part": "numeral"}):
        if text.get("text-anchor") == "end":
            found[int(text.string)] = min(x for x in inches if x >= float(text["x"]))
    return found


@given(SIXTEENTHS)
def test_reads_back_the_length(sixteenths):
    soup = drawn(sixteenths, shown=())
    found = printed(soup)
    inch = marks(soup, 1)[1][0] - marks(soup, 1)[0][0]
    # Counted from the first printed number, in sixteenths of the drawn inch.
    number, place = next(iter(found.items()))
    assert number + (arrow_tip(soup) - place) / inch == pytest.approx(
        sixteenths / 16, abs=2 * ROUNDING / inch
    )
    # At least one number on each side of a reader's eye, and the whole inch under the arrow among them.
    assert set(found) & {sixteenths // 16, sixteenths // 16 + 1}


@given(SIXTEENTHS)
def test_marks_are_even_and_shorter_the_finer(sixteenths):
    soup = drawn(sixteenths)
    every = sorted(x for parts in (1, 2, 4, 8, 16) for x, _ in marks(soup, parts))
    inch = marks(soup, 1)[1][0] - marks(soup, 1)[0][0]
    for one, other in pairwise(every):
        assert other - one == pytest.approx(inch / 16, abs=2 * ROUNDING)
        # At 340 px a sixteenth is more than 5 px wide.
        assert (other - one) * 340 / 360 > 5
    long = [{length for _, length in marks(soup, parts)} for parts in (1, 2, 4, 8, 16)]
    assert all(len(each) == 1 for each in long)
    heights = [each.pop() for each in long]
    assert heights == sorted(heights, reverse=True)
    assert all(one - other >= 8 for one, other in pairwise(heights))
    # No place is marked twice.
    assert len(every) == len(set(every))


@pytest.mark.parametrize("parts", [1, 2, 4, 8, 16])
def test_a_mark_is_as_long_as_its_division(parts):
    soup = drawn(40 * 16 + 5)
    number, place = next(iter(printed(soup).items()))
    inch = marks(soup, 1)[1][0] - marks(soup, 1)[0][0]
    for x, _ in marks(soup, parts):
        at = Fraction(round((number + (x - place) / inch) * 16), 16)
        assert at.denominator == parts


@given(SIXTEENTHS, st.sampled_from(["en", "es"]))
def test_the_reading_is_not_written_unless_shown(sixteenths, language):
    soup = drawn(sixteenths, shown=(), language=language)
    said = [
        each.string for each in soup.find_all(["text", "desc", "title"]) if each.get("data-part") != "numeral"
    ]
    assert not re.search(r"\d", " ".join(said))
    assert "?" in said


def test_the_reading_is_written_when_shown():
    soup = drawn(40 * 16 + 5, shown={"rounded"})
    assert "40 5/16 in" in [each.string for each in soup.find_all("text")]


def test_feet_stand_at_every_twelve_inches():
    soup = drawn(24 * 16 + 3)
    (feet,) = [
        each for each in soup.find_all("text", attrs={"data-part": "numeral"}) if not each.get("text-anchor")
    ]
    assert feet.string == "2 ft"
    assert 0 < float(feet["x"]) - printed(soup)[24] < 10


def test_the_zero_is_the_hook():
    soup = drawn(7)
    assert marks(soup, 1)[0][0] == pytest.approx(
        float(soup.find(attrs={"data-part": "blade"})["x"]), abs=ROUNDING
    )


@pytest.mark.parametrize(("length", "rounded"), [(14.3, 14.3125), (20.96, 20.9375), (8.97, 9.0)])
def test_rounding_points_at_the_mark_only_when_it_may_be_said(length, rounded):
    evaluation = calc.evaluate("tape.round", {"length": length})
    assert evaluation.values["rounded"] == rounded

    def soup(shown):
        return BeautifulSoup(drawings.draw("tape.reading", evaluation, "en", shown).svg, "html.parser")

    hidden = soup({"length"})
    assert not hidden.find_all(attrs={"data-part": "rounded"})
    assert f"{length:g} in" in [each.string for each in hidden.find_all("text")]
    assert "on the tape ?" in hidden.get_text(" ")
    found = soup(None)
    (path,) = found.find_all(attrs={"data-part": "rounded"})
    number, place = next(iter(printed(found).items()))
    inch = marks(found, 1)[1][0] - marks(found, 1)[0][0]
    x = float(re.match(r"M([\d.]+)", path["d"])[1])
    assert number + (x - place) / inch == pytest.approx(rounded, abs=2 * ROUNDING / inch)
