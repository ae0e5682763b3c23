"""Practice: one problem after another, with help at once. It never counts toward a clearance."""

from __future__ import annotations

import secrets

from flask import Blueprint, redirect, render_template, url_for
from werkzeug.wrappers import Response

from trainer.questions import Grade, draw
from trainer.records import learning, queries
from trainer.web.access import Access, access
from trainer.web.asked import Asked, asked
from trainer.web.content import content
from trainer.web.current import now, person, shop, store
from trainer.web.forms.answers import answer_form

bp = Blueprint("practice", __name__, url_prefix="/practice")
SEEDS = 1_000_000


@bp.get("")
@access(Access.SIGNED_IN)
def index() -> str:
    with store.read() as reading:
        rows = {row.question: row for row in queries.practice(reading, person())}
    return render_template("practice/index.html", rows=rows, skills=content.bank.skills, bank=content.bank)


@bp.get("/<question>")
@access(Access.SIGNED_IN)
def start(question: str) -> Response:
    """A fresh draw; its number stands in the address, so that coming back shows the same problem."""
    content.bank.question(question)
    return redirect(url_for("practice.ask", question=question, seed=secrets.randbelow(SEEDS)), 303)


@bp.route("/<question>/<int:seed>", methods=["GET", "POST"])
@access(Access.SIGNED_IN)
def ask(question: str, seed: int) -> str:
    problem = asked(draw(content.bank.question(question), seed % SEEDS, shop().standard))
    form = answer_form(problem.draw)
    result = None
    if form.validate_on_submit():
        result = problem.grade(form.answer.data)
        if result.status == "unreadable":
            form.answer.errors = [result.refusal]
        else:
            _record(problem, form.answer.data, result, form.form_token.data)
    skill = content.bank.skills[problem.draw.skills[0]]
    return render_template("practice/ask.html", problem=problem, form=form, result=result, skill=skill)


def _record(problem: Asked, typed: str, result: Grade, token: str) -> None:
    with store.write() as writing:
        learning.record_practice(
            writing,
            person(),
            now(),
            question=problem.draw.question_id,
            version=problem.draw.version,
            seed=problem.draw.seed,
            typed=typed,
            shown=result.shown,
            right=result.right,
            credit=result.credit,
            slip=result.slip,
            skills=problem.draw.skills,
            token=token,
        )
