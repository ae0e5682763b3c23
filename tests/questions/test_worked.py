"""The worked solution and the drawing of a draw."""

from __future__ import annotations

import pytest

from trainer.calc import working
from trainer.questions import Bank, Draw, draw, figure, worked


@pytest.mark.parametrize("id", ["slab-length", "bag-count"])
def test_the_worked_solution_ends_in_the_graded_answer(small_bank: Bank, id: str) -> None:
    for seed in range(10):
        drawn = draw(small_bank.question(id), seed)
        (solution,) = worked(Draw.from_json(drawn.to_json()))
        assert solution.steps
        assert solution.values[drawn.body.result] == pytest.approx(drawn.body.expected, abs=0)


def test_the_worked_solution_shows_this_draws_numbers(small_bank: Bank) -> None:
    (solution,) = worked(draw(small_bank.question("slab-length"), 0))
    assert "45 1/2 + 2 × 2" in working.as_text(solution, "en")


def test_a_choice_has_neither(small_bank: Bank) -> None:
    drawn = draw(small_bank.question("what-first"), 0)
    assert worked(drawn) == []
    assert figure(drawn) is None


def test_the_drawing_hides_the_answer_until_it_is_revealed(small_bank: Bank) -> None:
    drawn = draw(small_bank.question("slab-length"), 0)
    before, after = figure(drawn), figure(drawn, reveal=True)
    assert before is not None and after is not None
    assert "45 1/2 in" in before.svg
    assert "49 1/2 in" not in before.svg
    assert "49 1/2 in" in after.svg
