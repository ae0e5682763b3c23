"""The ladder of hints: at most three, in both languages, and none of them gives the answer away."""

from __future__ import annotations

from collections import Counter

import pytest

from tests.shipped import shipped_bank
from trainer.languages import LANGUAGES, Text
from trainer.questions import Bank, Draw, draw
from trainer.questions.draw import given_away
from trainer.questions.hints import MOST_HINTS, hints, opened
from trainer.questions.worked import worked


@pytest.fixture(scope="module")
def bank() -> Bank:
    return shipped_bank()


def test_the_last_hint_is_the_first_worked_step(bank: Bank) -> None:
    """A crown's weight: the first step is the slab's length, worked by hand as the chimney and twice the overhang."""
    drawn = draw(bank.question("precast-crown-weight"), 1)
    length, over = drawn.body.inputs["chimney_length"], drawn.body.inputs["overhang"]
    last = hints(drawn)[-1]
    assert last.en.startswith("The first step: slab length = ") and last.es.startswith(
        "El primer paso: largo de la losa = "
    )
    assert f"{length + 2 * over:g}" in last.en.replace(" 1/2", ".5").replace("3 ft ", "")
    assert hints(drawn)[:-1] == drawn.hints


def test_an_answer_of_one_step_keeps_its_own_hints_and_says_which_sizes_matter(bank: Bank) -> None:
    """The slab's length is one step from the givens, so no worked step is told; the width does not matter for it."""
    drawn = draw(bank.question("crown-slab-length"), 1)
    assert hints(drawn)[1:] == drawn.hints
    assert "chimney length" in hints(drawn)[0].en and "width" not in hints(drawn)[0].en


def test_every_ladder_is_short_whole_and_gives_nothing_away(bank: Bank) -> None:
    made, away = 0, Counter[Text]()
    for question in bank.questions.values():
        for seed in range(4):
            drawn = draw(question, seed)
            found = hints(drawn)
            made += len(found) > len(drawn.hints)
            assert len(found) <= MOST_HINTS and len(set(found)) == len(found)
            assert [one for one in found if one in drawn.hints] == list(drawn.hints)
            assert hints(Draw.from_json(drawn.to_json())) == found
            for one in drawn.body.solved():
                # The question's own may name a limit of a rule, which an answer meets now and then.
                for hint in found:
                    told = given_away(hint, one.expected, one.unit)
                    assert not told or hint in drawn.hints, (question.id, seed, hint.en)
                    away[hint] += told
            for hint in found:
                assert all(
                    hint.in_language(each) and "%(" not in hint.in_language(each) for each in LANGUAGES
                )
    assert made > 100
    assert max(away.values()) < 2


def test_an_answer_of_several_steps_has_at_least_two(bank: Bank) -> None:
    """Of one step there is little to say that would not be the answer."""
    for question in bank.questions.values():
        if question.kind in ("number", "linked"):
            drawn = draw(question, 1)
            steps = [step for step in worked(drawn)[0].steps if step.computed]
            assert len(hints(drawn)) >= (2 if len(steps) > 1 else 1), question.id


def test_a_hint_of_a_stored_draw_is_found_by_its_number(bank: Bank) -> None:
    stored = draw(bank.question("crown-slab-length"), 1).to_json()
    assert isinstance(opened(stored, 1), Text) and opened(stored, 1) != opened(stored, 2)
    assert opened(stored, 0) is None and opened(stored, 4) is None and opened(stored, -1) is None
