"""Review: papers that wait, and one paper with every answer beside the right one."""

from __future__ import annotations

from flask import Blueprint, abort, render_template, request
from werkzeug.wrappers import Response

from trainer.errors import NotAllowed, Refusal
from trainer.questions import draw
from trainer.records import queries, sent_back
from trainer.records import review as reviews
from trainer.web.access import Access, access
from trainer.web.content import content
from trainer.web.current import now, person, store
from trainer.web.forms.review import CommentForm, GradeForm, SendBackForm, comment_form, grade_form
from trainer.web.i18n import _
from trainer.web.marked import marked
from trainer.web.pages import done, refuse
from trainer.web.worksheets import code_of

bp = Blueprint("review", __name__, url_prefix="/review")


@bp.get("")
@access(Access.STAFF)
def index() -> str:
    with store.read() as reading:
        listing = queries.for_review(reading, person(), request.args.get("page", 1, type=int))
    return render_template("review/index.html", listing=listing)


@bp.get("/<int:paper_id>")
@access(Access.STAFF)
def paper(paper_id: int) -> str:
    return _page(_other(paper_id))


@bp.route("/<int:paper_id>/comment", methods=["GET", "POST"])
@bp.route("/<int:paper_id>/<int:position>/comment", methods=["GET", "POST"])
@access(Access.STAFF)
def comment(paper_id: int, position: int | None = None) -> str | Response:
    view = _other(paper_id, position)
    form = comment_form(position)
    if form.validate_on_submit():
        try:
            with store.write() as writing:
                reviews.comment(
                    writing,
                    person(),
                    now(),
                    paper_id=paper_id,
                    position=position,
                    text=form.text.data,
                    token=form.form_token.data,
                )
        except Refusal as refusal:
            refuse(form, refusal, "text")
        else:
            anchor = f"question{position or ''}"
            return done(_("Comment kept."), "review.paper", paper_id=paper_id, _anchor=anchor)
    return _page(view, form)


@bp.route("/<int:paper_id>/<int:position>/grade", methods=["GET", "POST"])
@access(Access.STAFF)
def grade(paper_id: int, position: int) -> str | Response:
    view = _other(paper_id, position)
    form = grade_form(_question(view, position))
    if form.validate_on_submit():
        try:
            with store.write() as writing:
                reviews.change_grade(
                    writing,
                    person(),
                    now(),
                    paper_id=paper_id,
                    position=position,
                    credit=float(form.credit.data),
                    reason=form.reason.data,
                    token=form.form_token.data,
                    made_from=form.made_from.data,
                )
        except Refusal as refusal:
            view = _other(paper_id, position)
            mark = reviews.grade_mark(_question(view, position).changes)
            refuse(form, refusal, "credit", made_from=lambda: mark)
        else:
            return done(_("Grade changed."), "review.paper", paper_id=paper_id, _anchor=f"question{position}")
    return _page(view, form)


@bp.route("/<int:paper_id>/send-back", methods=["GET", "POST"])
@access(Access.STAFF)
def send_back(paper_id: int) -> str | Response:
    """Have the paper done again, with other numbers; then the next that waits."""
    view = _other(paper_id)
    form = SendBackForm()
    if form.validate_on_submit():
        try:
            with store.write() as writing:
                sent_back.send_back(
                    writing,
                    person(),
                    now(),
                    paper_id=paper_id,
                    reason=form.again_reason.data,
                    bank=content.bank.questions,
                    draw=draw,
                )
        except Refusal as refusal:
            view = _other(paper_id)
            refuse(form, refusal, "again_reason")
        else:
            message = _("Sent back: %(name)s has a new paper, and is told why.", name=view.row.person)
            return done(message, "review.paper", paper_id=view.next_waiting or paper_id)
    return _page(view, form)


@bp.post("/<int:paper_id>/finish")
@access(Access.STAFF)
def finish(paper_id: int) -> Response:
    """Mark the paper reviewed and go on to the next that waits."""
    following = _other(paper_id).next_waiting
    with store.write() as writing:
        reviews.finish(writing, person(), now(), paper_id)
    if following is None:
        return done(_("Reviewed. No other paper waits."), "review.index")
    return done(_("Reviewed. This is the next one."), "review.paper", paper_id=following)


def _other(paper_id: int, position: int | None = None) -> queries.PaperView:
    """Someone else's paper, with the question that is spoken of."""
    with store.read() as reading:
        view = queries.paper(reading, person(), paper_id)
    if view.own:
        raise NotAllowed(reviews.OWN_PAPER)
    if position is not None:
        _question(view, position)
    return view


def _question(view: queries.PaperView, position: int) -> queries.PaperQuestionView:
    return next((each for each in view.questions if each.position == position), None) or abort(404)


def _page(view: queries.PaperView, given: CommentForm | GradeForm | SendBackForm | None = None) -> str:
    """The paper; `given` is the form that was sent and did not pass, or that is to stand open."""
    whole = comment_form(None)
    if isinstance(given, CommentForm) and given.text.name == whole.text.name:
        whole = given
    return render_template(
        "review/paper.html",
        view=view,
        questions=[
            marked(each, None if isinstance(given, SendBackForm) else given) for each in view.questions
        ],
        whole=whole,
        sheet=None if view.row.closed_at or view.row.decides else code_of(view.row.id),
        sending=given if isinstance(given, SendBackForm) else SendBackForm(),
        given=given,
    )
