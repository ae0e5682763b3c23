"""Question figures: how each question does its work, for whoever writes and assigns them."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Sequence
from typing import Final

from flask import Blueprint, abort, render_template, request

from trainer.learning import FAULTY, QuestionFigures
from trainer.records import queries
from trainer.web.access import Access, access
from trainer.web.asked import asked as drawn
from trainer.web.content import content
from trainer.web.current import language, person, store
from trainer.web.forms.assign import sample
from trainer.web.sliced import sliced
from trainer.web.slips import slip_text

bp = Blueprint("question_figures", __name__, url_prefix="/figures")
PER_PAGE: Final = 40


@bp.get("")
@access(Access.STAFF)
def index() -> str:
    """Every question that was asked: those that look faulty first, then the most often asked."""
    with store.read() as reading:
        found = queries.question_figures(reading, person())
    listing = sliced(sorted(found.items(), key=_order), request.args.get("page", 1, type=int), PER_PAGE)
    return render_template(
        "question_figures/index.html",
        listing=listing,
        faulty=sum(bool(FAULTY.intersection(one.looks)) for one in found.values()),
        bank=content.bank,
        sample=sample,
    )


@bp.get("/<question>")
@access(Access.STAFF)
def question(question: str) -> str:
    with store.read() as reading:
        found = queries.question_at_work(reading, person(), question)
    asked = content.bank.questions.get(question)
    if asked is None and not found.figures.drawn:
        abort(404)
    slips = [(slip_text(asked, slip), count) for slip, count in found.slips]
    return render_template(
        "question_figures/question.html",
        id=question,
        asked=asked,
        found=found,
        slips=slips,
        groups=_by_cause(found.unexplained),
        sample=sample,
    )


def _by_cause(wrong: Sequence[queries.WrongAnswer]) -> list[tuple[str | None, list[queries.WrongAnswer]]]:
    """The answers by what the slip search takes for the cause, the commonest first; None, where it finds nothing, last.

    The same change is the same cause whatever the numbers; it is told with those of its newest answer.
    """
    groups: dict[tuple[str, tuple[str, ...]] | None, list[queries.WrongAnswer]] = defaultdict(list)
    told: dict[tuple[str, tuple[str, ...]] | None, str | None] = {None: None}
    for row in wrong:
        found = drawn(row.draw).guesses(row.typed)
        likeliest = found[0].explanations[0] if found else None
        cause = (likeliest.causes[0].way, likeliest.causes[0].about) if likeliest is not None else None
        if likeliest is not None:
            told.setdefault(cause, likeliest.text.in_language(language()))
        groups[cause].append(row)
    order = sorted(groups.items(), key=lambda group: (group[0] is None, -len(group[1]), str(group[0])))
    return [(told[cause], rows) for cause, rows in order]


def _order(entry: tuple[str, QuestionFigures]) -> tuple[bool, bool, int, str]:
    name, figures = entry
    looks = set(figures.looks)
    return not looks & FAULTY, not looks, -figures.drawn, name
