"""The slip search names a planted cause first; it is quick, speaks both languages and never touches a grade."""

from __future__ import annotations

from collections import Counter
from random import Random

import pytest

from tests.questions.planted import CATEGORIES, Wrong, wrong_answer
from tests.shipped import shipped_bank
from trainer.languages import LANGUAGES, Text
from trainer.questions import Bank, draw
from trainer.questions.search import causes, guesses
from trainer.questions.search.causes import WAYS

# The search was tuned on other seeds than this one.
FRESH = 20261126


@pytest.fixture(scope="module")
def bank() -> Bank:
    return shipped_bank()


def simulate(bank: Bank, many: int, seed: int) -> list[Wrong]:
    """That many wrong answers, each with one planted cause, over every number question and linked part."""
    random = Random(seed)
    questions = [each for each in bank.questions.values() if each.kind in ("number", "linked")]
    found: list[Wrong] = []
    while len(found) < many:
        question = (
            questions[len(found) % len(questions)] if random.random() < 0.5 else random.choice(questions)
        )
        body = question.body
        answers = [body.answer] if question.kind == "number" else [part.answer for part in body.parts]
        wrong = wrong_answer(draw(question, random.randrange(10**6)), answers, random)
        if wrong is not None:
            found.append(wrong)
    return found


def place_of(wrong: Wrong) -> tuple[int, int] | None:
    """(which explanation, which cause of its sentence) says what was planted; None when none of those shown does."""
    for guess in guesses(wrong.draw, wrong.typed):
        for place, explanation in enumerate(guess.explanations):
            for cause_place, cause in enumerate(explanation.causes):
                if wrong.planted.says(cause):
                    return place, cause_place
    return None


def reported(found: list[Wrong]) -> tuple[float, float, str]:
    """Share whose cause is named in the first sentence, share named alone or foremost in it, and the lines to print."""
    places = [place_of(wrong) for wrong in found]
    named = Counter(
        wrong.planted.category for wrong, at in zip(found, places, strict=True) if at and at[0] == 0
    )
    planted = Counter(wrong.planted.category for wrong in found)
    foremost = sum(at == (0, 0) for at in places) / len(found)
    lines = [f"  {each}: {named[each]} of {planted[each]}" for each in CATEGORIES]
    return sum(named.values()) / len(found), foremost, "\n".join(lines)


def test_a_planted_cause_is_named_first(bank: Bank) -> None:
    """A cause that leads to the same number as another counts only when the sentence that stands first names it too."""
    share, foremost, _ = reported(simulate(bank, 200, FRESH + 1))
    assert share >= 0.8 and foremost >= 0.7


@pytest.mark.sweep
def test_of_two_thousand_planted_causes_four_in_five_are_named_first(
    bank: Bank, capsys: pytest.CaptureFixture[str]
) -> None:
    found = simulate(bank, 2000, FRESH)
    share, foremost, lines = reported(found)
    over = {wrong.draw.question_id for wrong in found}
    with capsys.disabled():
        print(f"\nslip search: {share:.1%} of {len(found)} planted causes named in the first sentence")
        print(f"  {foremost:.1%} foremost in it; over {len(over)} questions\n{lines}")
    assert share >= 0.8
    assert over == {each.id for each in bank.questions.values() if each.kind in ("number", "linked")}


def test_the_sentences_name_the_numbers_of_the_question(bank: Bank) -> None:
    """A slab of 56 in with 2 1/2 in over on both sides, by hand: 61 in; 56 + 2 × 5 = 66 in; 56 − 2 × 2 1/2 = 51 in."""
    drawn = draw(bank.question("crown-slab-length"), 1)
    assert (drawn.givens["chimney_length"].value, drawn.givens["overhang"].value) == (56.0, 2.5)
    (twice,) = guesses(drawn, "66")
    assert twice.explanations[0].text == Text(
        en="Counted twice: overhang past the wall (2 1/2 in).", es="Se contó dos veces: saliente (2 1/2 in)."
    )
    (sign,) = guesses(drawn, "51")
    assert sign.explanations[0].text == Text(
        en="In the step “slab length”, 56 − 2 × 2 1/2 in place of 56 + 2 × 2 1/2.",
        es="En el paso «largo de la losa», 56 − 2 × 2 1/2 en lugar de 56 + 2 × 2 1/2.",
    )


def test_what_is_right_or_a_listed_slip_or_unreadable_needs_no_guess(bank: Bank) -> None:
    drawn = draw(bank.question("crown-slab-length"), 1)
    for typed in (drawn.answer(), drawn.body.mistaken(), "no idea", "1/0"):
        assert guesses(drawn, typed) == []
    linked = draw(bank.question("form-to-buckets"), 1)
    for typed in (linked.answer(), "no idea", "1\n2", "x\ny\nz"):
        assert guesses(linked, typed) == []


def test_a_linked_part_is_searched_from_the_persons_own_figures(bank: Bank) -> None:
    """The slab wrong by 5 in, then the bar from that very slab with the cover added: 2 × cover too long on both ends."""
    drawn = draw(bank.question("long-bars-from-the-tape"), 1)
    _, width, _, count = drawn.answer().split("\n")
    own = drawn.body.parts[0].expected + 5
    cover = drawn.givens["cover"].value
    found = guesses(drawn, "\n".join((f"{own}", width, f"{own + 2 * cover}", count)))
    assert [guess.title for guess in found][-1] == drawn.body.parts[2].text
    first = found[-1].explanations[0]
    assert first.causes[0].way == "wrong sign" and first.causes[0].step.name == "long_length"


def test_every_sentence_is_filled_in_both_languages(bank: Bank) -> None:
    """Every way there is occurs, and no sentence is left with a place or in the other language's words."""
    ways = set()
    for question in bank.questions.values():
        if question.kind not in ("number", "linked"):
            continue
        drawn = draw(question, 3)
        wrong = "\n".join(["7777"] * len(drawn.body.solved()))
        for each in drawn.body.unexplained(wrong, "en"):
            for cause in causes(each, list(drawn.givens.values())):
                ways.add(cause.way)
                for language in LANGUAGES:
                    said = cause.sentence(language)
                    assert said and not {"%(", "None", "nan"} & set(said.split()) and "%(" not in said
    assert ways == set(WAYS)
