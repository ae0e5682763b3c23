"""The bank check: every question drawn hundreds of times, every broken rule reported with file, line and a sentence."""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable, Collection, Iterable, Mapping, Sequence
from typing import Any, Final

from trainer.calc import DEFAULT_SHOP
from trainer.errors import ContentError
from trainer.languages import LANGUAGES
from trainer.questions.bank import Bank
from trainer.questions.check_skills import check_skills
from trainer.questions.check_texts import Texts
from trainer.questions.draw import MOST_ATTEMPTS, attempt_draw
from trainer.questions.drawn import Draw
from trainer.questions.grading import grade
from trainer.questions.kinds import KINDS
from trainer.questions.kinds.kind import Note
from trainer.questions.model import Question
from trainer.questions.seeds import Rejected
from trainer.questions.source import Where
from trainer.questions.worked import worked

DRAWS: Final = 500
# The share of attempts that may be drawn again for one reason before the ranges of the givens are at fault.
MOST_REDRAWN: Final = 0.5
# The draws whose working is written out step by step to compare their difficulty, which takes time.
WORKED_DRAWS: Final = 20

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
    "collision": (
        ("slip",),
        "{reason} on most draws: the answer would not say which it was; change or take out one of them.",
    ),
    "refusal": (("given",), "the core refuses most draws ({reason}); change the ranges of the givens."),
    "away": (("text",), "the text gives the answer away on most draws."),
    "order": (("rule",), "most draws show the steps in a right order; add rules."),
}


def check_bank(
    bank: Bank,
    draws: int = DRAWS,
    lessons: Mapping[str, Collection[str]] | None = None,
    passing: Callable[[Sequence[Question]], Iterable[Question]] = iter,
) -> tuple[ContentError, ...]:
    """Everything wrong with the bank: what loading found, what drawing finds, and orphans.

    lessons: the skills that each lesson names, by the lesson's id; None leaves the check of lessons out
    passing: gives the questions back one after another, as a bar that shows how far the check is
    """
    found = [*bank.problems, *check_skills(bank, lessons)]
    for question in passing(tuple(bank.questions.values())):
        found += check_question(question, draws)
    return tuple(sorted(found, key=lambda problem: (problem.path, problem.line, problem.sentence)))


def check_question(
    question: Question,
    draws: int = DRAWS,
    shop: Mapping[str, Any] = DEFAULT_SHOP,
    until: Callable[[], bool] = lambda: False,
) -> list[ContentError]:
    """What `draws` seeds of one question show to be wrong, each mistake once.

    until: asked before every attempt; the check ends early, with what it found, once it says so
    """
    found: dict[str, ContentError] = {}

    def note(where: Where, sentence: str) -> None:
        if where == ("given",) and question.givens:
            where = ("given", question.givens[0].name)
        found.setdefault(sentence, ContentError(question.path, question.line(where), sentence))

    made = _drawn(question, draws, shop, until, note)
    texts = Texts()
    for drawn in made:
        for where, sentence in texts.check(drawn):
            note(where, sentence)
        _check_answer(drawn, note)
    if made:
        KINDS[question.kind].check(question, made, note)
        _check_level(made, note)
    return list(found.values())


def _drawn(
    question: Question, draws: int, shop: Mapping[str, Any], until: Callable[[], bool], note: Note
) -> list[Draw]:
    """The draws of so many seeds; notes what most attempts are turned down for, and a seed that finds no numbers."""
    rejected: Counter[tuple[str, str, Where]] = Counter()
    reasons: dict[tuple[str, str, Where], str] = {}
    attempts, made = 0, list[Draw]()
    for seed in range(draws):
        for attempt in range(MOST_ATTEMPTS):
            if until():
                break
            attempts += 1
            try:
                made.append(attempt_draw(question, seed, attempt, shop))
                break
            except Rejected as reject:
                kept_apart = reject.rule, reject.about, reject.within
                rejected[kept_apart] += 1
                reasons.setdefault(kept_apart, reject.reason)
        if len(made) <= seed:
            if not until():
                note(("given",), f"seed {seed} finds no good numbers in {MOST_ATTEMPTS} attempts.")
            # One seed without numbers is enough to know; hundreds more would only take time.
            break
    for (rule, about, within), count in rejected.items():
        if count > MOST_REDRAWN * attempts:
            where, sentence = WHY[rule]
            note((*within, *where), sentence.format(about=about, reason=reasons[rule, about, within]))
    return made


def _check_answer(drawn: Draw, note: Note) -> None:
    """One draw's own answer is read and graded right in both languages."""
    for language in LANGUAGES:
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


def _check_level(draws: Sequence[Draw], note: Note) -> None:
    """The draws are as hard as one another: what varies is the numbers, not how much there is to work out."""
    for name in {name for drawn in draws for number in drawn.body.solved() for name in _lists(number.inputs)}:
        counts = {
            len(number.inputs[name])
            for drawn in draws
            for number in drawn.body.solved()
            if name in _lists(number.inputs)
        }
        if len(counts) > 1:
            note(
                ("given", name),
                f"some draws have {min(counts)} of {name} and others {max(counts)}, so some are harder than others; "
                "give each the same number.",
            )
    steps = {tuple(len(solution.steps) for solution in worked(drawn)) for drawn in draws[:WORKED_DRAWS]}
    if len(steps) > 1:
        sums = sorted(sum(each) for each in steps)
        note(
            ("given",),
            f"some draws take {sums[0]} steps to work and others {sums[-1]}, so some are harder than others; "
            "narrow the givens.",
        )


def _lists(inputs: Mapping[str, Any]) -> list[str]:
    return [name for name, value in inputs.items() if isinstance(value, list)]
