"""The bank check: every question drawn hundreds of times, every broken rule reported with file, line and a sentence."""

from __future__ import annotations

import re
from collections import Counter
from collections.abc import Collection, Mapping
from typing import Any, Final

from trainer.calc import DEFAULT_SHOP
from trainer.errors import ContentError
from trainer.languages import LANGUAGES
from trainer.questions.bank import Bank
from trainer.questions.draw import MOST_ATTEMPTS, attempt_draw
from trainer.questions.drawn import Draw
from trainer.questions.grading import grade
from trainer.questions.kinds import KINDS
from trainer.questions.model import Question
from trainer.questions.seeds import Rejected
from trainer.questions.source import Where

DRAWS: Final = 500
# The share of attempts that may be drawn again for one reason before the ranges of the givens are at fault.
MOST_REDRAWN: Final = 0.5
UNRENDERED: Final = re.compile(r"\{\{|\}\}|\{%|\bNone\b|\bnan\b|\binf\b|Undefined")

WHY: Final = {
    "edge": (
        ("answer", "result"),
        "most draws put {about} on a knife edge; change the ranges of the givens.",
    ),
    "field": (
        ("field",),
        "most draws give an answer outside the field's range; change the range or the givens.",
    ),
    "slip": (
        ("answer", "tolerance"),
        "the tolerance swallows the slip {about} on most draws; make it tighter.",
    ),
    "refusal": (("given",), "the core refuses most draws ({reason}); change the ranges of the givens."),
    "away": (("text",), "the text gives the answer away on most draws."),
    "order": (("rule",), "most draws show the steps in a right order; add rules."),
}


def check_bank(
    bank: Bank, draws: int = DRAWS, lessons: Collection[str] | None = None
) -> tuple[ContentError, ...]:
    """Everything wrong with the bank: what loading found, what drawing finds, and orphaned skills.

    lessons: the ids of the lessons there are; None leaves the check of lessons out
    """
    found = [*bank.problems, *check_skills(bank, lessons)]
    for question in bank.questions.values():
        found += check_question(question, draws)
    return tuple(sorted(found, key=lambda problem: (problem.path, problem.line, problem.sentence)))


def check_skills(bank: Bank, lessons: Collection[str] | None) -> list[ContentError]:
    """Skills that no question tests, or whose lesson does not exist."""
    found = []
    for skill in bank.skills.values():
        if not bank.of_skill(skill.id):
            found.append(ContentError("skills.toml", skill.line, f"no question tests the skill {skill.id}."))
        if lessons is not None and skill.lesson not in lessons:
            found.append(
                ContentError(
                    "skills.toml",
                    skill.line,
                    f"the skill {skill.id} names a lesson {skill.lesson!r}, which does not exist.",
                )
            )
    return found


def check_question(
    question: Question, draws: int = DRAWS, shop: Mapping[str, Any] = DEFAULT_SHOP
) -> list[ContentError]:
    """What `draws` seeds of one question show to be wrong, each mistake once."""
    found: dict[str, ContentError] = {}

    def note(where: Where, sentence: str) -> None:
        if where == ("given",) and question.givens:
            where = ("given", question.givens[0].name)
        found.setdefault(sentence, ContentError(question.path, question.line(where), sentence))

    rejected: Counter[tuple[str, str, Where]] = Counter()
    reasons: dict[tuple[str, str, Where], str] = {}
    attempts, draws_made = 0, list[Draw]()
    for seed in range(draws):
        drawn = None
        for attempt in range(MOST_ATTEMPTS):
            attempts += 1
            try:
                drawn = attempt_draw(question, seed, attempt, shop)
                break
            except Rejected as reject:
                kept_apart = reject.rule, reject.about, reject.within
                rejected[kept_apart] += 1
                reasons.setdefault(kept_apart, reject.reason)
        if drawn is None:
            note(("given",), f"seed {seed} finds no good numbers in {MOST_ATTEMPTS} attempts.")
            # One seed without numbers is enough to know; hundreds more would only take time.
            break
        draws_made.append(drawn)
        _check_draw(drawn, note)
    for (rule, about, within), count in rejected.items():
        if count > MOST_REDRAWN * attempts:
            where, sentence = WHY[rule]
            note((*within, *where), sentence.format(about=about, reason=reasons[rule, about, within]))
    if draws_made:
        KINDS[question.kind].check(question, draws_made, note)
    return list(found.values())


def _check_draw(drawn: Draw, note: Any) -> None:
    """One draw: nothing left unrendered, and its own answer graded right in both languages."""
    for language in LANGUAGES:
        for text in (drawn.text, *drawn.hints, *drawn.body.texts()):
            said = text.in_language(language)
            if UNRENDERED.search(said):
                note(("text", language), "a text is left with a place that was not filled.")
        answer = drawn.answer(language)
        shown = answer.replace("\n", "; ")
        given = grade(drawn, answer, language)
        if given.status == "unreadable":
            note(("answer", "unit"), f"the right answer as the trade writes it, {shown}, cannot be read.")
        elif not given.right:
            note(
                ("answer", "tolerance"),
                f"the right answer as the trade writes it is graded wrong ({shown}); give a tolerance.",
            )
