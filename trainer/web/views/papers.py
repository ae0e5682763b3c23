"""A person's own papers: the quiz that was assigned to them, one question at a time."""

from __future__ import annotations

from typing import Any, Final

from flask import Blueprint, abort, flash, jsonify, redirect, render_template, request, url_for
from werkzeug.wrappers import Response

from trainer.errors import Refusal
from trainer.questions import Grade, draw
from trainer.records import goes, hints, papers, queries
from trainer.web.access import Access, access
from trainer.web.asked import Asked, asked
from trainer.web.content import content
from trainer.web.current import language, now, person, store
from trainer.web.forms.answers import AnswerForm, answer_form
from trainer.web.i18n import _, said
from trainer.web.offline import offer
from trainer.web.pages import done, refuse

bp = Blueprint("papers", __name__, url_prefix="/papers")
JSON: Final = "application/json"
MOST_SHOWN: Final = 80  # letters of a typed answer in a message


@bp.get("/<int:paper_id>")
@access(Access.SIGNED_IN)
def page(paper_id: int) -> str:
    view = _own(paper_id)
    questions = [(each, asked(each.draw)) for each in view.questions]
    _keep_for_no_signal(view)
    return render_template("papers/page.html", view=view, questions=questions, now=now())


@bp.post("/<int:paper_id>/start")
@access(Access.SIGNED_IN)
def start(paper_id: int) -> Response:
    with store.write() as writing:
        papers.open_paper(writing, person(), now(), paper_id)
    return _onward(_own(paper_id))


@bp.route("/<int:paper_id>/<int:position>", methods=["GET", "POST"])
@access(Access.SIGNED_IN)
def question(paper_id: int, position: int) -> str | Response:
    """One question. What was typed is shown as it was read before it counts; a chosen option counts at once."""
    if request.method == "POST" and request.headers.get("Accept") == JSON:
        return _kept_on_a_phone(paper_id, position)
    reading = refused = form = None
    if request.method == "POST" and (drawn := _to_answer(paper_id, position)) is not None:
        problem = asked(drawn)
        form = answer_form(problem.draw)
        if form.validate_on_submit():
            said = problem.grade(form.typed)
            if said.status == "unreadable":
                form.refuse(said)
            elif not form.confirms or form.is_confirmed:
                try:
                    return _keep(paper_id, position, form, said)
                except Refusal as refusal:
                    refused = refusal
            else:
                reading = said.reading
    # Only now the whole paper: what stands in the way is told from it, and the page shows it.
    view = _own(paper_id)
    each = next((one for one in view.questions if one.position == position), None) or abort(404)
    problem = asked(each.draw)
    form = answer_form(problem.draw) if form is None else form
    if (settled := _settled(view, each, problem, form)) is not None:
        return settled
    _keep_for_no_signal(view)
    if refused is not None:
        refuse(form, refused, "answer")
    form.confirmed.data = "" if reading is None else form.typed
    return render_template(
        "papers/question.html", view=view, each=each, problem=problem, form=form, reading=reading
    )


@bp.post("/<int:paper_id>/<int:position>/hint")
@access(Access.SIGNED_IN)
def hint(paper_id: int, position: int) -> str | Response:
    """Open a hint; what was typed beside it stays."""
    view = _own(paper_id)
    each = next((one for one in view.questions if one.position == position), None) or abort(404)
    problem = asked(each.draw)
    form = answer_form(problem.draw)
    if (settled := _settled(view, each, problem, form)) is not None:
        return settled
    try:
        with store.write() as writing:
            hints.open_hint(
                writing,
                person(),
                now(),
                paper_id=paper_id,
                position=position,
                number=request.form.get("hint", 0, type=int),
                language=language(),
            )
    except Refusal as refusal:
        refuse(form, refusal, "answer")
    form.confirmed.data = ""
    view = _own(paper_id)
    each = view.questions[position - 1]
    return render_template(
        "papers/question.html", view=view, each=each, problem=problem, form=form, reading=None
    )


def _keep_for_no_signal(view: queries.PaperView) -> None:
    """Let the browser keep a paper that is being sat, with the questions that may be answered now."""
    if view.row.opened_at is None or view.row.closed_at is not None:
        return
    waiting = [one.position for one in view.questions if one.answer is None]
    if view.row.decides:
        waiting = waiting[:1]
    offer(url_for("papers.question", paper_id=view.row.id, position=position) for position in waiting)


def _kept_on_a_phone(paper_id: int, position: int) -> Response:
    """Store an answer that waited in a browser, as it was typed; said: why it is not stored."""
    view = _own(paper_id)
    each = next((one for one in view.questions if one.position == position), None) or abort(404)
    form = answer_form(asked(each.draw).draw)
    if not form.validate():
        sentences = [str(one) for those in form.errors.values() for one in those]
        return _told(422, said=" ".join(sentences))
    try:
        with store.write() as writing:
            given = papers.answer(
                writing,
                person(),
                now(),
                paper_id=view.row.id,
                position=position,
                typed=form.typed,
                token=form.form_token.data,
                grade=lambda frozen, typed: papers.grade_frozen(frozen, typed, language()),
            )
    except Refusal as refusal:
        if each.answer is not None and each.answer.typed == form.typed:
            return _told(200, kept=each.answer.shown)
        return _told(409, said=said(refusal))
    return _told(200, kept=given.shown)


def _told(status: int, **facts: str) -> Response:
    told = jsonify(facts)
    told.status_code = status
    return told


def _settled(
    view: queries.PaperView, each: queries.PaperQuestionView, problem: Asked, form: AnswerForm
) -> Response | None:
    """Where to go when nothing can be answered here any more, having said what stands; None when it can."""
    typed = form.typed if form.is_submitted() else ""
    shown = (problem.grade(typed).reading if typed else "") or typed
    if each.answer is not None and typed in ("", each.answer.typed):  # looked at, or the same form sent twice
        flash(_("Kept: %(shown)s", shown=each.answer.shown))
    elif each.answer is not None:
        flash(
            _(
                "Question %(n)d was answered already: %(stands)s stands. “%(typed)s” was not kept.",
                n=each.position,
                stands=each.answer.shown,
                typed=shown[:MOST_SHOWN],
            )
        )
    elif view.row.closed_at is not None and typed:
        flash(
            _(
                "The paper is handed in and takes no more answers. “%(typed)s” was not kept.",
                typed=shown[:MOST_SHOWN],
            )
        )
    if each.answer is not None:
        return _onward(view)
    if view.row.closed_at is not None or view.row.opened_at is None:
        return redirect(url_for("papers.page", paper_id=view.row.id), 303)
    if view.row.decides and each.position != view.next_open:
        return _onward(view)
    return None


def _to_answer(paper_id: int, position: int) -> Any | None:
    with store.read() as reading:
        return queries.to_answer(reading, person(), paper_id, position)


def _keep(paper_id: int, position: int, form: AnswerForm, said: Grade) -> Response:
    """Store the answer; the next page is not shown before it is stored. said: how it was graded"""
    with store.write() as writing:
        given = papers.answer(
            writing,
            person(),
            now(),
            paper_id=paper_id,
            position=position,
            typed=form.typed,
            token=form.form_token.data,
            grade=lambda _draw, _typed: said,
        )
    if given.closed and given.left:
        return done(
            _("Your answers are enough: the paper is over and handed in."),
            "papers.page",
            paper_id=paper_id,
        )
    if given.closed:
        return done(
            _("The last answer is kept, and the paper is handed in."), "papers.page", paper_id=paper_id
        )
    flash(_("Kept: %(shown)s", shown=given.shown))
    return _to(paper_id, given.following)


@bp.post("/<int:paper_id>/hand-in")
@access(Access.SIGNED_IN)
def hand_in(paper_id: int) -> Response:
    with store.write() as writing:
        papers.hand_in(writing, person(), now(), paper_id)
    return done(_("The paper is handed in."), "papers.page", paper_id=paper_id)


@bp.post("/<int:paper_id>/again")
@access(Access.SIGNED_IN)
def again(paper_id: int) -> Response:
    """Begin the next go; its paper is then started like any other."""
    with store.write() as writing:
        new = goes.go_again(
            writing, person(), now(), paper_id=paper_id, bank=content.bank.questions, draw=draw
        )
    return redirect(url_for("papers.page", paper_id=new), 303)


def _own(paper_id: int) -> queries.PaperView:
    """One's own paper; a reviewer reads other people's on the review pages."""
    with store.read() as reading:
        view = queries.paper(reading, person(), paper_id, now())
    if not view.own:
        abort(403)
    return view


def _onward(view: queries.PaperView) -> Response:
    """To the next question that is open; to the paper when there is none, or it is closed."""
    return _to(view.row.id, None if view.row.closed_at is not None else view.next_open)


def _to(paper_id: int, following: int | None) -> Response:
    if following is None:
        return redirect(url_for("papers.page", paper_id=paper_id), 303)
    return redirect(url_for("papers.question", paper_id=paper_id, position=following), 303)
