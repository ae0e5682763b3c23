"""Toolbox talk: one skill on one sheet for the tailgate, three questions with a drawing and the answers overleaf."""

from __future__ import annotations

from typing import Final

from flask import Blueprint, abort, g, render_template, request
from flask_babel import force_locale
from werkzeug.wrappers import Response

from trainer import printing
from trainer.calc.cautions import FALL
from trainer.errors import Refusal
from trainer.languages import LANGUAGES
from trainer.questions import Draw, Question, draw
from trainer.web.access import Access, access
from trainer.web.asked import Asked, asked
from trainer.web.content import content
from trainer.web.current import shop, today
from trainer.web.i18n import LOCALES

bp = Blueprint("talks", __name__, url_prefix="/talks")
ASKED: Final = 3
MOST_LINES: Final = 6  # of an answer's lines: a longer question does not fit beside two others
MOST_SEED: Final = 999_999


@bp.get("")
@access(Access.STAFF)
def index() -> str:
    """Every skill with its sheet, in both languages and on both papers."""
    return render_template(
        "talks/index.html",
        skills=[skill for skill in content.bank.skills.values() if content.bank.of_skill(skill.id)],
        number=today().toordinal() % MOST_SEED,
        papers=printing.PAPERS,
        languages=LANGUAGES,
    )


@bp.get("/<skill>.pdf")
@access(Access.STAFF)
def sheet(skill: str) -> Response:
    """The sheet. `number` in the address fixes its numbers, so that the same sheet can be printed again."""
    found = content.bank.skills.get(skill) or abort(404)
    wanted, paper = request.args.get("language", g.language), request.args.get("paper", printing.PAPERS[0])
    if wanted not in LANGUAGES or paper not in printing.PAPERS:
        abort(400)
    number = min(max(request.args.get("number", 1, type=int), 0), MOST_SEED)
    problems = [asked(one) for one in chosen(content.bank.of_skill(skill), number)]
    spoken, g.language = g.language, wanted
    try:
        with force_locale(LOCALES[wanted]):
            html = render_template(
                "print/talk.html",
                skill=found,
                problems=problems,
                pictured=next((one for one in problems if one.figure() is not None), None),
                number=number,
                fall=FALL,
            )
    finally:
        g.language = spoken
    response = Response(printing.pdf(html, paper), mimetype="application/pdf")
    response.headers["Content-Disposition"] = f"inline; filename=toolbox-talk-{skill}-{wanted}.pdf"
    return response


def chosen(questions: tuple[Question, ...], number: int) -> list[Draw]:
    """Up to three draws: what must be right first, then by turns with the number; one with a drawing where there is one."""
    found = []
    turned = sorted(questions, key=lambda one: (not one.must_pass, one.id))
    place = number % max(len(turned), 1)
    for question in [*turned[place:], *turned[:place]]:
        try:
            found.append(draw(question, number, shop().standard))
        except Refusal:
            continue
    short = [one for one in found if len(one.body.lines("en")) <= MOST_LINES] or found
    pictured = next((one for one in short if Asked(one).figure() is not None), None)
    others = [one for one in short if one is not pictured]
    return ([pictured] if pictured else []) + others[: ASKED - bool(pictured)]
