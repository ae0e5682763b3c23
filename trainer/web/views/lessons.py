"""The lessons: the list of the course, one lesson to read section by section, and its check questions."""

from __future__ import annotations

from typing import Final

from flask import Blueprint, abort, jsonify, redirect, render_template, request, url_for
from werkzeug.wrappers import Response

from trainer.clearance import LessonRef
from trainer.errors import NotAllowed, Refusal, UnknownName
from trainer.lessons import parts
from trainer.questions import Question, draw
from trainer.records import lessons, queries
from trainer.records.papers import grade_frozen
from trainer.records.queries import LessonRow
from trainer.web.access import Access, access
from trainer.web.asked import Asked, asked
from trainer.web.content import content
from trainer.web.current import language, now, person, shop, store
from trainer.web.forms.answers import answer_form
from trainer.web.i18n import said
from trainer.web.pages import done

bp = Blueprint("lessons", __name__, url_prefix="/lessons")
JSON: Final = "application/json"


@bp.get("")
@access(Access.SIGNED_IN)
def index() -> str:
    with store.read() as reading:
        rows = queries.lessons(reading, person(), content.rules)
    by_id = {lesson.id: lesson for lesson in content.library.lessons(language())}
    return render_template("lessons/index.html", rows=rows, lessons=by_id, going_on=queries.going_on(rows))


@bp.get("/<lesson>")
@access(Access.SIGNED_IN)
def read(lesson: str) -> str:
    _ref(lesson)
    order = content.library.ids
    with store.read() as reading:
        rows = {row.id: row for row in queries.lessons(reading, person(), content.rules)}
    place, after = order.index(lesson), _after(lesson)
    rendered = content.renderer.render(lesson, shop().standard, language())
    before_first, sections = parts(rendered.html, rendered.sections)
    return render_template(
        "lessons/read.html",
        rendered=rendered,
        before_first=before_first,
        parts=sections,
        row=rows[lesson],
        checks=_in_short(rows[lesson]),
        prerequisites=[rows[id] for id in rendered.lesson.prerequisites if id in rows],
        before=rows[order[place - 1]] if place else None,
        after=after,
    )


@bp.post("/<lesson>/section")
@access(Access.SIGNED_IN)
def section(lesson: str) -> Response | tuple[Response, int]:
    """Note that a section was read to its end, and go on with the next; for a script, say which that is."""
    ref, scripted = _ref(lesson), request.headers.get("Accept") == JSON
    try:
        with store.write() as writing:
            next_one = lessons.read_section(
                writing,
                person(),
                now(),
                lesson=ref,
                version=request.form.get("version", 0, int),
                section=request.form.get("section", ""),
            )
    except UnknownName:
        raise
    except Refusal as refusal:
        if scripted:
            return jsonify(said=said(refusal)), 409
        return done(said(refusal), "lessons.read", lesson=lesson)
    if scripted:
        return jsonify(next=next_one), 200
    return redirect(url_for("lessons.read", lesson=lesson, _anchor=next_one or "check-questions"), 303)


@bp.route("/<lesson>/check/<question>", methods=["GET", "POST"])
@access(Access.SIGNED_IN)
def check(lesson: str, question: str) -> str | Response:
    """One check question: asked with new numbers each time, until it was answered right."""
    ref, of_bank = _ref(lesson), content.bank.questions.get(question)
    if of_bank is None or question not in ref.check:
        abort(404)
    with store.read() as reading:
        attempt = lessons.next_attempt(reading, person(), ref, question)
    # A form sent again is shown with the numbers it was made with.
    shown = request.form.get("attempt", attempt, int)
    problem = _problem(ref, of_bank, shown if 0 < shown <= attempt else attempt)
    form = answer_form(problem.draw)
    result = None
    if form.validate_on_submit():
        result = problem.grade(form.typed)
        if result.status == "unreadable":
            form.refuse(result)
            result = None
        else:
            try:
                _answer(ref, of_bank, form.typed, form.form_token.data)
            except (UnknownName, NotAllowed):
                raise
            except Refusal as refusal:  # answered already, or made from other numbers
                return done(said(refusal), "lessons.check", lesson=lesson, question=question)
    return render_template(
        "lessons/check.html",
        problem=problem,
        form=form,
        result=result,
        attempt=min(shown, attempt) if result or form.errors else attempt,
        mark=lessons.mark_of(problem.draw),
        ref=ref,
        row=_own_row(lesson),
        after=_after(lesson),
        place=ref.check.index(question) + 1,
    )


def _ref(lesson: str) -> LessonRef:
    if lesson not in content.rules.lessons:
        abort(404)
    return content.rules.lessons[lesson]


def _own_row(lesson: str) -> LessonRow:
    with store.read() as reading:
        return next(row for row in queries.lessons(reading, person(), content.rules) if row.id == lesson)


def _after(lesson: str) -> LessonRef | None:
    """The next lesson of the course."""
    order = content.library.ids
    place = order.index(lesson) + 1
    return content.rules.lessons[order[place]] if place < len(order) else None


def _problem(ref: LessonRef, question: Question, attempt: int) -> Asked:
    seed = lessons.attempt_seed(person().id, ref, question.id, attempt)
    return asked(draw(question, seed, shop().standard))


def _in_short(row: LessonRow) -> dict[str, str]:
    """What each check question asks, as the next try will."""
    known = content.bank.questions
    ref = content.rules.lessons[row.id]
    return {
        each.question: _problem(ref, known[each.question], each.tries + 1).in_short
        for each in row.checks
        if each.question in known
    }


def _answer(ref: LessonRef, question: Question, typed: str, token: str) -> None:
    with store.write() as writing:
        lessons.answer_check(
            writing,
            person(),
            now(),
            lesson=ref,
            version=request.form.get("version", 0, int),
            question=question,
            attempt=request.form.get("attempt", 0, int),
            mark=request.form.get("mark", ""),
            typed=typed,
            token=token,
            shop=shop().standard,
            draw=draw,
            grade=grade_frozen,
        )
