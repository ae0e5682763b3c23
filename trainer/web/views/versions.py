"""Lessons that changed since people read them: accept the older version for those who did, or ask again."""

from __future__ import annotations

from typing import Any

from flask import Blueprint, abort, render_template, request
from werkzeug.wrappers import Response

from trainer.errors import NotAllowed, Refusal, UnknownName
from trainer.records import acceptances, queries
from trainer.records.queries import ChangedLesson
from trainer.web.access import Access, access
from trainer.web.content import content
from trainer.web.current import now, person, store, today
from trainer.web.forms.versions import AskAgainForm, accept_form
from trainer.web.i18n import _, said
from trainer.web.pages import done, refuse

bp = Blueprint("versions", __name__, url_prefix="/lesson-versions")


@bp.get("")
@access(Access.STAFF)
def index() -> str:
    return render_template("versions/index.html", changed=_changed())


@bp.get("/<lesson>")
@access(Access.STAFF)
def lesson(lesson: str) -> str:
    return _show(lesson)


@bp.post("/<lesson>/accept")
@access(Access.STAFF)
def accept(lesson: str) -> str | Response:
    form = accept_form(_one(lesson))
    if form.validate_on_submit():
        try:
            with store.write() as writing:
                acceptances.accept(
                    writing,
                    person(),
                    now(),
                    lesson=content.rules.lessons[lesson],
                    present=request.form.get("present", 0, int),
                    version=form.version.data,
                    reason=form.reason.data,
                    token=form.form_token.data,
                )
        except Refusal as refusal:
            refuse(form, refusal)
            form.present.data = str(content.rules.lessons[lesson].version)
        else:
            return done(_("Accepted from today."), "versions.lesson", lesson=lesson)
    return _show(lesson, accepting=form)


@bp.route("/<lesson>/ask-again/<int:acceptance_id>", methods=["GET", "POST"])
@access(Access.STAFF)
def ask_again(lesson: str, acceptance_id: int) -> str | Response:
    form = AskAgainForm()
    if form.validate_on_submit():
        try:
            with store.write() as writing:
                acceptances.withdraw(
                    writing,
                    person(),
                    now(),
                    lesson=lesson,
                    acceptance_id=acceptance_id,
                    reason=form.reason.data,
                )
        except (UnknownName, NotAllowed):
            raise
        except Refusal as refusal:  # it was taken back before
            return done(said(refusal), "versions.lesson", lesson=lesson)
        return done(_("Asked again from today."), "versions.lesson", lesson=lesson)
    return _show(lesson, asking=form)


def _changed() -> tuple[ChangedLesson, ...]:
    with store.read() as reading:
        return queries.changed_lessons(reading, person(), today(), content.rules)


def _one(lesson: str) -> ChangedLesson:
    """The lesson; one that nobody is asked to read again has no readers."""
    if lesson not in content.rules.lessons:
        abort(404)
    known = content.rules.lessons[lesson]
    none = ChangedLesson(lesson, known.title, known.version, (), ())
    return next((one for one in _changed() if one.id == lesson), none)


def _show(lesson: str, **forms: Any) -> str:
    one = _one(lesson)
    return render_template(
        "versions/lesson.html",
        lesson=one,
        own=next((row for row in one.standing() if row.by_id == person().id), None),
        accepting=forms.get("accepting") or accept_form(one),
        asking=forms.get("asking") or AskAgainForm(),
    )
