"""A quiz on paper: sheets and key as PDF, and the form in which answers given on a sheet are typed in."""

from __future__ import annotations

from typing import Final

from flask import Blueprint, abort, redirect, render_template, request, url_for
from werkzeug.wrappers import Response

from trainer import printing
from trainer.errors import NotAllowed, Refusal
from trainer.records import entering, queries
from trainer.records.fingerprints import fingerprint
from trainer.web.access import Access, access
from trainer.web.asked import Asked, asked
from trainer.web.current import language, now, person, store
from trainer.web.forms.answers import AnswerForm, answer_form
from trainer.web.forms.worksheets import EntryForm
from trainer.web.i18n import _, _n
from trainer.web.pages import done, refuse
from trainer.web.worksheets import code_of, document, paper_of

bp = Blueprint("worksheets", __name__, url_prefix="/worksheets")
Line = tuple[queries.PaperQuestionView, Asked, AnswerForm, str]
KEPT: Final = ("csrf_token", "confirmed")  # parts of a question's form that hold no answer


@bp.get("")
@access(Access.STAFF)
def find() -> str | Response:
    """A code as it stands on a sheet, typed instead of scanned."""
    typed = request.args.get("code", "")
    if typed and paper_of(typed) is not None:
        return redirect(url_for("worksheets.entry", code=typed.strip().upper()), 303)
    return render_template("worksheets/find.html", typed=typed)


@bp.get("/quiz/<int:quiz_id>.pdf")
@access(Access.STAFF)
def sheets(quiz_id: int) -> Response:
    """A sheet for each person whose paper is still out."""
    return _pdf(quiz_id, key=False)


@bp.get("/quiz/<int:quiz_id>/key.pdf")
@access(Access.STAFF)
def key(quiz_id: int) -> Response:
    """The answers to each of those sheets, with the working."""
    return _pdf(quiz_id, key=True)


@bp.route("/<code>", methods=["GET", "POST"])
@access(Access.STAFF)
def entry(code: str) -> str | Response:
    """The answers of one sheet: read back first, then kept. A question left empty stays open."""
    paper_id = paper_of(code)
    if paper_id is None:
        abort(404)
    with store.read() as reading:
        view = queries.paper(reading, person(), paper_id)
    if view.own:
        raise NotAllowed(entering.OWN)
    if view.row.closed_at is not None or view.row.decides:
        return render_template(
            "worksheets/entry.html", view=view, code=code_of(paper_id), lines=(), form=EntryForm()
        )
    form, forms = EntryForm(), [_question(each) for each in view.questions if each.answer is None]
    typed, good, readings = _typed(forms) if form.is_submitted() else ({}, True, {})
    mark = fingerprint(sorted(typed.items()))
    if form.validate_on_submit() and good:
        if not typed and not form.hand_in.data:
            form.form_errors.append(_("No answer was typed in."))
        elif form.read.data == mark:
            try:
                with store.write() as writing:
                    kept = entering.enter(
                        writing,
                        person(),
                        now(),
                        paper_id=paper_id,
                        answers=typed,
                        hand_in=form.hand_in.data,
                        token=form.form_token.data,
                        language=language(),
                    )
            except Refusal as refusal:
                refuse(form, refusal)
            else:
                message = _n("%(num)d answer typed in.", "%(num)d answers typed in.", kept)
                return done(message, "review.paper", paper_id=paper_id)
    form.read.data = mark if good and typed else ""
    lines: list[Line] = [(*one, readings.get(one[0].position, "")) for one in forms]
    return render_template("worksheets/entry.html", view=view, code=code_of(paper_id), lines=lines, form=form)


def _question(each: queries.PaperQuestionView) -> tuple[queries.PaperQuestionView, Asked, AnswerForm]:
    problem = asked(each.draw)
    return each, problem, answer_form(problem.draw, prefix=f"q{each.position}-")


def _typed(
    forms: list[tuple[queries.PaperQuestionView, Asked, AnswerForm]],
) -> tuple[dict[int, str], bool, dict[int, str]]:
    """(what was typed by position, whether all of it can be read, how it was read by position)."""
    typed, readings, good = {}, {}, True
    for each, problem, form in forms:
        given = (
            value.strip()
            for name in request.form
            if name.startswith(form._prefix) and not name.endswith((*KEPT, "form_token"))
            for value in request.form.getlist(name)
        )
        if not any(given):
            continue
        if not form.validate():
            good = False
            continue
        said = problem.grade(form.typed)
        if said.status == "unreadable":
            form.refuse(said)
            good = False
        else:
            typed[each.position], readings[each.position] = form.typed, said.reading
    return typed, good, readings


def _pdf(quiz_id: int, *, key: bool) -> Response:
    size = request.args.get("paper", printing.PAPERS[0])
    if size not in printing.PAPERS:
        abort(400)
    with store.read() as reading:
        found = queries.paper_sheets(reading, person(), quiz_id)
    html = document(found, lambda code: url_for("worksheets.entry", code=code, _external=True), key=key)
    response = Response(printing.pdf(html, size), mimetype="application/pdf")
    response.headers["Content-Disposition"] = (
        f"inline; filename=worksheets-{quiz_id}{'-key' if key else ''}.pdf"
    )
    return response
