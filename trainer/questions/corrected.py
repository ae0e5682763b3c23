"""A question that was mended after it was asked: the same numbers, answered as the mended file answers them.

The person worked with the numbers, letters and units they saw, so those stay as they were frozen. What the mended file
may bring is the calculation, the tolerance, the slips, which options are right, and the rules of an order. Where it
asks something else (another kind, other givens, another unit, other options), or draws its own chimney top, nothing
can be said of the old answers, and `corrected` gives None.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import replace
from typing import Any, Final

from trainer.errors import Refusal
from trainer.languages import Text
from trainer.questions.drawn import Draw, Given
from trainer.questions.givens import draw_given
from trainer.questions.kinds import KINDS
from trainer.questions.kinds.choose import DrawnChoice
from trainer.questions.kinds.options import DrawnOption, Option
from trainer.questions.kinds.order import DrawnOrder, DrawnRule
from trainer.questions.kinds.several import DrawnSeveral
from trainer.questions.model import Computed, Question
from trainer.questions.seeds import Rejected, Seed
from trainer.questions.writing import fill_both


def corrected(frozen: Draw, question: Question, shop: Mapping[str, Any]) -> Draw | None:
    """`frozen` as the mended `question` would have it; None where the two do not ask the same.

    shop: the shop standard that held when it was drawn
    """
    if (frozen.question_id, frozen.kind) != (question.id, question.kind):
        return None
    givens = _givens(frozen, question, shop)
    make = _BODIES.get(question.kind)
    body = make(frozen, question, givens, shop) if make is not None and givens is not None else None
    if body is None or givens is None:
        return None
    return replace(frozen, version=question.version, hash=question.hash, givens=givens, body=body)


def _givens(frozen: Draw, question: Question, shop: Mapping[str, Any]) -> dict[str, Given] | None:
    """What was given then; what is computed from it is computed anew. None when something else would be given."""
    found: dict[str, Given] = {}
    for given in question.givens:
        if isinstance(given, Computed):
            try:
                found[given.name] = draw_given(given, _no_pick, shop, found)
            except Refusal:
                return None
            seen = frozen.givens.get(given.name)
            if (
                seen is not None
                and _stands_in(frozen.text, seen.text)
                and seen.text != found[given.name].text
            ):
                return None  # the person read another number
            continue
        kept = frozen.givens.get(given.name)
        if kept is None or kept.unit != given.unit:
            return None
        found[given.name] = kept
    return found


def _no_pick(name: str, count: int) -> int:
    raise AssertionError(f"{name} is computed, not picked")


def _stands_in(text: Text, part: Text) -> bool:
    return part.en in text.en or part.es in text.es


def _numbers(
    frozen: Draw, question: Question, givens: Mapping[str, Given], shop: Mapping[str, Any]
) -> Any | None:
    """One number or several linked ones, from the core; None where a unit or a part is another."""
    seed = Seed(question.id, question.version, frozen.seed, 0)  # numbers are worked out, nothing is picked
    try:
        body = KINDS[question.kind].draw(question, givens, seed, shop)
    except (Rejected, Refusal):
        return None
    return body if _asked(body) == _asked(frozen.body) else None


def _asked(body: Any) -> list[tuple[str, str]]:
    """Which numbers are asked for, in which units."""
    return [(part.id, part.unit) for part in getattr(body, "parts", ())] or [("", body.unit)]


def _choice(
    frozen: Draw, question: Question, givens: Mapping[str, Given], shop: Mapping[str, Any]
) -> DrawnChoice | None:
    options = _options(frozen.body.options, question.body.options, givens)
    return None if options is None else DrawnChoice(options, fill_both(question.body.because, givens))


def _several(
    frozen: Draw, question: Question, givens: Mapping[str, Given], shop: Mapping[str, Any]
) -> DrawnSeveral | None:
    options = _options(frozen.body.options, question.body.options, givens)
    return None if options is None else DrawnSeveral(options)


def _options(
    shown: Sequence[DrawnOption], now: Iterable[Option], givens: Mapping[str, Given]
) -> tuple[DrawnOption, ...] | None:
    """The options under the letters they had, each with what the file says of it now.

    They are known by their words, in either language, for an option's place in the file may have changed.
    """
    filled = [(fill_both(option.text, givens), option) for option in now]
    found = []
    for old in shown:
        match = [one for text, one in filled if old.text.en == text.en or old.text.es == text.es]
        if len(match) != 1:
            return None
        why = match[0].why
        found.append(replace(old, right=match[0].right, why=None if why is None else fill_both(why, givens)))
    return tuple(found) if len(found) == len(filled) else None


def _order(
    frozen: Draw, question: Question, givens: Mapping[str, Given], shop: Mapping[str, Any]
) -> DrawnOrder | None:
    """The steps under the letters they had, with the rules of the file; a step is known by its id and its words."""
    now = {step.id: fill_both(step.text, givens) for step in question.body.steps}
    shown = {step.id: step.text for step in frozen.body.steps}
    same = now.keys() == shown.keys() and all(
        shown[id].en == now[id].en or shown[id].es == now[id].es for id in now
    )
    if not same:
        return None
    rules = [DrawnRule(rule.first, rule.then, fill_both(rule.why, givens)) for rule in question.body.rules]
    return DrawnOrder(frozen.body.steps, tuple(now), tuple(rules))


Making = Callable[[Draw, Question, Mapping[str, Given], Mapping[str, Any]], Any]
_BODIES: Final[Mapping[str, Making]] = {
    "number": _numbers,
    "linked": _numbers,
    "choose": _choice,
    "several": _several,
    "order": _order,
}
