"""Assign: a trainer makes a quiz for people, follows it, and can take it back."""

from __future__ import annotations

from typing import Final

from flask import Blueprint, render_template, request
from sqlalchemy.orm import Session
from werkzeug.wrappers import Response

from trainer.errors import Refusal
from trainer.languages import Text
from trainer.questions import draw
from trainer.records import queries, quizzes, repeating
from trainer.records.deciding import expected_courses
from trainer.web.access import Access, access
from trainer.web.asked import Asked, asked
from trainer.web.content import content
from trainer.web.current import now, person, store
from trainer.web.forms.assign import AssignForm, assign_form, sample
from trainer.web.i18n import _, _n
from trainer.web.pages import done, refuse

bp = Blueprint("assign", __name__, url_prefix="/assign")
PREVIEW: Final = "preview"


@bp.get("")
@access(Access.STAFF)
def index() -> str:
    with store.read() as reading:
        listing = queries.quizzes(reading, person(), request.args.get("page", 1, type=int))
    return render_template("assign/index.html", listing=listing, now=now())


@bp.route("/new", methods=["GET", "POST"])
@access(Access.STAFF)
def new() -> str | Response:
    with store.read() as reading:
        everyone = queries.people(reading, person())
    takers = [row for row in everyone if row.active and "apprentice" in row.roles]
    form = assign_form(content.bank, takers)
    if form.validate_on_submit():
        choice = form.choice()
        seed = quizzes.seed_of(form.form_token.data or "")
        try:
            with store.read() as reading:
                weak_in = _weak_in(reading, form.takers()) if choice.weakest else {}
                if request.form.get("act") == PREVIEW:
                    previewed = [
                        asked(one)
                        for one in quizzes.preview(
                            reading,
                            person(),
                            person_id=form.takers()[0],
                            choice=choice,
                            seed=seed,
                            bank=content.bank.questions,
                            draw=draw,
                            skill_names=content.rules.skills,
                            decides=form.decide.data,
                            weak_in=weak_in,
                        )
                    ]
                    return _page(form, takers, previewed)
            with store.write() as writing:
                assigned = quizzes.assign(
                    writing,
                    person(),
                    now(),
                    title=form.title.data,
                    people=form.takers(),
                    **choice.terms(),
                    pass_mark=form.pass_mark.data,
                    opens=form.opens(),
                    due=form.due(),
                    goes=int(form.goes.data),
                    wait_hours=int(form.wait.data),
                    weekly=form.repeats(),
                    bank=content.bank.questions,
                    draw=draw,
                    token=form.form_token.data,
                    skill_names=content.rules.skills,
                    hint_cost=form.hint_cost(),
                    decide=content.learning.deciding if form.decide.data else None,
                    weak_in=weak_in,
                    seed=seed,
                )
        except Refusal as refusal:
            refuse(form, refusal)
        else:
            papers = len(assigned.papers)
            message = _n("Assigned to %(num)d person.", "Assigned to %(num)d people.", papers)
            return done(message, "assign.quiz", quiz_id=assigned.quiz_id)
    return _page(form, takers)


def _title(lesson: str) -> Text | str:
    """The lesson's title; its name in the files where the lesson itself is left out for its mistakes."""
    return content.library.title(lesson) if lesson in content.library.ids else lesson


def _page(form: AssignForm, takers: list[queries.PersonRow], previewed: list[Asked] | None = None) -> str:
    name = next((row.name for row in takers if previewed and row.id == form.takers()[0]), "")
    return render_template(
        "assign/new.html",
        form=form,
        title_of=_title,
        takers=takers,
        sample=sample,
        previewed=previewed,
        name=name,
        PREVIEW=PREVIEW,
    )


@bp.get("/<int:quiz_id>")
@access(Access.STAFF)
def quiz(quiz_id: int) -> str:
    with store.read() as reading:
        view = queries.quiz(reading, person(), quiz_id, now())
        relied = queries.reliability(reading, person(), quiz_id)
    return render_template(
        "assign/quiz.html",
        view=view,
        relied=relied,
        expected=expected_courses(view.deciding, len(view.spec["asked"])),
        bank=content.bank,
        sample=sample,
    )


def _weak_in(reading: Session, people: list[int]) -> dict[int, tuple[str, ...]]:
    crew = queries.crew_picture(reading, person(), now(), content.learning, content.bank.skills)
    return queries.weakest(crew, people)


@bp.post("/<int:quiz_id>/take-back")
@access(Access.STAFF)
def take_back(quiz_id: int) -> Response:
    with store.write() as writing:
        quizzes.close(writing, person(), now(), quiz_id)
    return done(
        _("Taken back. Papers that were still out are closed as they stand."), "assign.quiz", quiz_id=quiz_id
    )


@bp.post("/<int:quiz_id>/stop")
@access(Access.STAFF)
def stop(quiz_id: int) -> Response:
    """Stop the weekly quiz that this one belongs to."""
    with store.write() as writing:
        repeating.stop(writing, person(), now(), quiz_id)
    return done(_("Stopped. No further quiz is made; those made stay."), "assign.quiz", quiz_id=quiz_id)
