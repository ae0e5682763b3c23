"""Practice: one problem after another, with help at once. It never counts toward a clearance."""

from __future__ import annotations

import secrets
from collections.abc import Iterator
from typing import Final

from flask import Blueprint, abort, redirect, render_template, url_for
from werkzeug.wrappers import Response

from trainer.errors import Refusal
from trainer.questions import Grade, NoDraw, Skill, draw
from trainer.records import learning, queries
from trainer.web.access import Access, access
from trainer.web.asked import Asked, asked
from trainer.web.content import content
from trainer.web.current import now, person, shop, store
from trainer.web.forms.answers import answer_form
from trainer.web.pages import refuse

bp = Blueprint("practice", __name__, url_prefix="/practice")
SEEDS: Final = 1_000_000


@bp.get("")
@access(Access.SIGNED_IN)
def index() -> str:
    with store.read() as reading:
        tried = {row.question: row for row in queries.practice(reading, person())}
    return render_template("practice/index.html", by_skill=list(_by_skill()), tried=tried)


@bp.get("/<question>")
@access(Access.SIGNED_IN)
def start(question: str) -> Response:
    """A fresh draw; its number stands in the address, so that coming back shows the same problem."""
    return redirect(url_for("practice.ask", question=question, seed=secrets.randbelow(SEEDS)), 303)


@bp.route("/<question>/<int:seed>", methods=["GET", "POST"])
@access(Access.SIGNED_IN)
def ask(question: str, seed: int) -> str:
    if question not in content.bank.questions:
        abort(404)
    problem = _problem(question, seed)
    form = answer_form(problem.draw)
    result = None
    if form.validate_on_submit():
        result = problem.grade(form.typed)
        if result.status == "unreadable":
            form.refuse(result)
            result = None
        else:
            try:
                _record(problem, form.typed, result, form.form_token.data)
            except Refusal as refusal:
                refuse(form, refusal, "answer")
                result = None
    skill = content.bank.skills[problem.draw.skills[0]]
    return render_template(
        "practice/ask.html",
        problem=problem,
        form=form,
        result=result,
        skill=skill,
        lessons=content.library.ids,
    )


def _problem(question: str, seed: int) -> Asked:
    return asked(draw(content.bank.questions[question], seed, shop().standard))


def _by_skill() -> Iterator[tuple[Skill, list[Asked]]]:
    """Each question once, under the first skill it names."""
    for skill in content.bank.skills.values():
        problems = []
        for question in content.bank.of_skill(skill.id):
            if question.skills[0] == skill.id:
                try:
                    problems.append(_problem(question.id, 0))
                except NoDraw:
                    continue  # nothing to ask with this shop's figures
        if problems:
            yield skill, problems


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
