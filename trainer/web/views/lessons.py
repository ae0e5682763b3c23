"""The lessons: the list of the course, and one lesson to read."""

from __future__ import annotations

from flask import Blueprint, abort, render_template, request
from werkzeug.wrappers import Response

from trainer.records import learning, queries
from trainer.web.access import Access, access
from trainer.web.content import content
from trainer.web.current import language, now, person, shop, store
from trainer.web.i18n import _
from trainer.web.pages import done

bp = Blueprint("lessons", __name__, url_prefix="/lessons")


@bp.get("")
@access(Access.SIGNED_IN)
def index() -> str:
    with store.read() as reading:
        rows = queries.lessons(reading, person(), content.rules)
    lessons = {lesson.id: lesson for lesson in content.library.lessons(language())}
    return render_template("lessons/index.html", rows=rows, lessons=lessons)


@bp.get("/<lesson>")
@access(Access.SIGNED_IN)
def read(lesson: str) -> str:
    order = content.library.ids
    if lesson not in order:
        abort(404)
    with store.read() as reading:
        rows = {row.id: row for row in queries.lessons(reading, person(), content.rules)}
    place = order.index(lesson)
    return render_template(
        "lessons/read.html",
        rendered=content.renderer.render(lesson, shop().standard, language()),
        row=rows[lesson],
        before=rows[order[place - 1]] if place else None,
        after=rows[order[place + 1]] if place + 1 < len(order) else None,
    )


@bp.post("/<lesson>/read")
@access(Access.SIGNED_IN)
def mark(lesson: str) -> Response:
    if lesson not in content.library.ids:
        abort(404)
    version = content.library.lesson(lesson).version
    if request.form.get("version") != str(version):
        message = _(
            "This lesson has changed since you opened it: version %(version)d stands now. Nothing was noted yet; "
            "read it here, then say so.",
            version=version,
        )
        return done(message, "lessons.read", lesson=lesson)
    with store.write() as writing:
        learning.mark_read(writing, person(), now(), lesson=lesson, version=version)
    return done(_("Noted: you have read this lesson."), "lessons.read", lesson=lesson, _anchor="read")
