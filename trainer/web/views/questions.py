"""The bank for trainers: every question with ten draws of it, files that were left out, and a file tried out."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from flask import Blueprint, Response, abort, render_template, request

from trainer.errors import ContentError
from trainer.paths import content_dir
from trainer.questions import Question, Skill
from trainer.questions.preview import CHECKED_DRAWS, PATH, SHOWN, ten, try_out
from trainer.web.access import Access, access
from trainer.web.asked import asked
from trainer.web.content import content
from trainer.web.current import shop
from trainer.web.forms.questions import TryForm
from trainer.web.question_keys import KEYS, KINDS

bp = Blueprint("questions", __name__, url_prefix="/questions")
MOST_SEED = 1_000_000


@bp.get("")
@access(Access.STAFF)
def index() -> str:
    return render_template(
        "questions/index.html", by_skill=list(_by_skill()), bank=content.bank, problems=content.problems
    )


@bp.get("/<question>")
@access(Access.STAFF)
def show(question: str) -> str:
    """A question in both languages, and ten draws; `from` in the address says with which number they begin."""
    found = content.bank.questions.get(question) or abort(404)
    first = min(request.args.get("from", 0, type=int), MOST_SEED)
    draws = ten(found, max(0, first), shop().standard)
    return render_template(
        "questions/show.html",
        question=found,
        skills=[content.bank.skills[id] for id in found.skills],
        problems=[asked(one) for one in draws],
        first=max(0, first),
        shown=SHOWN,
    )


@bp.get("/add")
@access(Access.STAFF)
def add() -> str:
    """How a question is added: the worked example, with each of its keys explained."""
    return render_template("questions/add.html", example=_example(), keys=KEYS, kinds=KINDS)


@bp.get("/example.toml")
@access(Access.STAFF)
def example() -> Response:
    """The worked example, to be saved and changed."""
    return Response(
        _example(),
        mimetype="application/toml",
        headers={"Content-Disposition": 'attachment; filename="example.toml"'},
    )


@bp.route("/try", methods=["GET", "POST"])
@access(Access.STAFF)
def attempt() -> str:
    """What the check says of a pasted file, and ten draws of it. Nothing is stored."""
    form = TryForm()
    tried = None
    if form.validate_on_submit():
        tried = try_out(form.file.data, content.bank, shop().standard)
    elif request.method == "GET" and "example" in request.args:
        form.file.data = _example()
    return render_template(
        "questions/try.html",
        form=form,
        tried=tried,
        problems=[asked(one) for one in tried.draws] if tried else [],
        found=_lines(tried.problems, form.file.data) if tried else [],
        draws=CHECKED_DRAWS,
        path=PATH,
    )


def _by_skill() -> Iterator[tuple[Skill, Sequence[Question]]]:
    """Each question under every skill that it tests."""
    for skill in content.bank.skills.values():
        if questions := content.bank.of_skill(skill.id):
            yield skill, questions


def _lines(problems: tuple[ContentError, ...], text: str) -> list[tuple[ContentError, str]]:
    """Each problem with the line of the pasted text that it is about; an empty one where the whole file is meant."""
    lines = text.splitlines()
    return [(one, lines[one.line - 1] if 0 < one.line <= len(lines) else "") for one in problems]


def _example() -> str:
    return (content_dir("question_bank") / "example.toml").read_text(encoding="utf-8")
