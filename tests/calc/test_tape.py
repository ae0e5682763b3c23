"""tape.round, tape.add and tape.divide against published lengths and exact fractions."""

from __future__ import annotations

import math
from fractions import Fraction

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from trainer import calc
from trainer.errors import Refusal


def results(name, **inputs):
    return calc.evaluate(name, inputs).results


def typed(name, language="en", **texts):
    return calc.evaluate(name, calc.read_inputs(name, texts, language)).results


def nearest(value: Fraction, mark: Fraction) -> Fraction:
    return math.floor(value / mark + Fraction(1, 2)) * mark


LENGTHS = st.fractions(0, 400, max_denominator=1000)
MARKS = st.sampled_from(
    [Fraction(1, 32), Fraction(1, 16), Fraction(1, 8), Fraction(1, 4), Fraction(1, 2), Fraction(1)]
)
SIXTEENTHS = st.integers(-6400, 6400).map(lambda parts: Fraction(parts, 16))


class TestRound:
    def test_published_rafter(self):
        # A building page's 4 in 12 roof, half width 14 ft: 14.757 ft. It prints 14 ft 9 in; to the sixteenth it is
        # 14 ft 9 1/16 in.
        rafter = 14 * calc.evaluate("roof.slope", {"rise": 4.0}).results["slope_factor"] * 12
        assert results("tape.round", length=rafter, to=1.0)["rounded"] == 14 * 12 + 9
        assert results("tape.round", length=rafter)["rounded"] == 14 * 12 + 9 + 1 / 16

    @settings(max_examples=200, deadline=None)
    @given(LENGTHS, MARKS)
    def test_exact_fractions_agree(self, length, mark):
        rounded = nearest(length, mark)
        # Where the float of the length falls on the other side of a half, either mark is as near.
        result = results("tape.round", length=float(length), to=float(mark))
        assert result["rounded"] == float(rounded)
        assert result["off_by"] == pytest.approx(float(rounded - length), abs=1e-9)
        assert abs(result["off_by"]) <= float(mark) / 2 + 1e-9

    def test_a_half_goes_up(self):
        assert results("tape.round", length=3 / 32)["rounded"] == 2 / 16

    def test_typed(self):
        assert typed("tape.round", length="3 ft 4.3 in") == typed(
            "tape.round", "es", length="3 pies 4.3 pulg"
        )
        metric = typed("tape.round", length="115 mm", to="1/8 in")
        assert metric["rounded"] == 4.5
        assert metric["off_by"] == pytest.approx(4.5 - 115 / 25.4)

    def test_refusal(self):
        with pytest.raises(Refusal, match=r"to .* cannot be 0 in; give 0.015625 to 12 in"):
            results("tape.round", length=4.0, to=0.0)


class TestAdd:
    @settings(max_examples=200, deadline=None)
    @given(st.lists(SIXTEENTHS, min_size=1, max_size=40))
    def test_sixteenths_are_exact(self, lengths):
        total = results("tape.add", length=[float(length) for length in lengths])["total"]
        assert Fraction(total) == sum(lengths)

    @settings(max_examples=200, deadline=None)
    @given(st.lists(SIXTEENTHS, min_size=2, max_size=12), st.randoms(use_true_random=False))
    def test_order_and_taking_away(self, lengths, shuffled):
        numbers = [float(length) for length in lengths]
        total = results("tape.add", length=numbers)["total"]
        shuffled.shuffle(numbers)
        assert results("tape.add", length=numbers)["total"] == total
        assert results("tape.add", length=[*numbers, -total])["total"] == 0

    def test_chimney_sections(self):
        # USDA Farmers' Bulletin 1889, p. 44: the five sections of a chimney, 12.66, 1.66, 2, 10.16 and 6 ft high, are
        # 12 ft 8 in, 1 ft 8 in, 2 ft, 10 ft 2 in and 6 ft: 32 ft 6 in, which its decimals, cut short, make 32.48 ft.
        total = typed("tape.add", length=["12 ft 8 in", "1 ft 8 in", "2 ft", "10 ft 2 in", "6 ft"])["total"]
        assert total == 32 * 12 + 6
        assert total / 12 == pytest.approx(12.66 + 1.66 + 2 + 10.16 + 6, abs=0.021)

    def test_a_leading_minus_takes_away(self):
        assert typed("tape.add", length=["40 1/2 in", "-3 1/4 in"])["total"] == 37.25
        assert typed("tape.add", "es", length=["3 pies 4 1/2 pulg", "-3 1/4 pulg"])["total"] == 37.25
        work = calc.work("tape.add", {"length": [40.5, -3.25]})
        assert calc.working.as_text(work) == "sum: S = L_1 + L_2 = 40 1/2 − 3 1/4 = 37 1/4 in"

    def test_refusals(self):
        with pytest.raises(Refusal, match=r"length .* is missing"):
            results("tape.add", length=[])
        with pytest.raises(Refusal, match=r"length .* cannot be inf"):
            results("tape.add", length=[4.0, math.inf])


class TestDivide:
    @pytest.mark.parametrize(
        ("courses", "printed"),
        # Modular brick, three courses in 8 in: 2 11/16, 5 5/16 and 8 in to the sixteenth (BIA Technical Notes 10, table
        # of courses; from memory).
        [(1, 2 + 11 / 16), (2, 5 + 5 / 16), (3, 8.0)],
    )
    def test_published_coursing(self, courses, printed):
        part = results("tape.divide", length=8.0, parts=3.0)
        assert results("tape.round", length=courses * part["part"])["rounded"] == printed
        # Marking 2 11/16 in three times ends a sixteenth past the 8 in.
        assert part["nearest"] == 2 + 11 / 16
        assert part["run_out"] == 1 / 16

    @settings(max_examples=200, deadline=None)
    @given(SIXTEENTHS.filter(lambda length: length >= 1), st.integers(1, 60), MARKS)
    def test_exact_fractions_agree(self, length, parts, mark):
        part = length / parts
        near = nearest(part, mark)
        result = results("tape.divide", length=float(length), parts=float(parts), to=float(mark))
        assert result["part"] == pytest.approx(float(part))
        assert Fraction(result["nearest"]) == near
        assert Fraction(result["run_out"]) == near * parts - length
        assert abs(result["run_out"]) <= parts * mark / 2 + Fraction(1, 10**6)

    @settings(max_examples=200, deadline=None)
    @given(SIXTEENTHS.filter(lambda part: 0 < part <= 100), st.integers(1, 40))
    def test_parts_on_the_tape_do_not_run_out(self, part, parts):
        result = results("tape.divide", length=float(part * parts), parts=float(parts))
        assert result == {"part": float(part), "nearest": float(part), "run_out": 0.0}

    def test_typed(self):
        english = typed("tape.divide", length="3 ft 8 1/2 in", parts="7")
        assert english == typed("tape.divide", "es", length="3 pies 8 1/2 pulg", parts="7")
        assert english["run_out"] == 1 / 8

    def test_refusal(self):
        with pytest.raises(Refusal, match=r"parts .* cannot be 0"):
            results("tape.divide", length=8.0, parts=0.0)
