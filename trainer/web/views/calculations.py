"""The reference: every calculation by topic, and each with the reader's own numbers, which stand in the address."""

from __future__ import annotations

import json
from typing import Any

from flask import Blueprint, Response, abort, render_template, request
from markupsafe import Markup

from trainer import calc
from trainer.calc import Calculation, Evaluation, report, typed, working
from trainer.errors import UnknownName
from trainer.web import reference
from trainer.web.access import Access, access
from trainer.web.content import content
from trainer.web.current import language, shop
from trainer.web.forms.numbers import NumbersForm, SearchForm, sample, takes

bp = Blueprint("calculations", __name__, url_prefix="/calculations")


@bp.get("")
@access(Access.SIGNED_IN)
def index() -> str:
    form = SearchForm()
    return render_template(
        "calculations/index.html", form=form, groups=reference.found(content.bank, form.search.data or "")
    )


@bp.get("/<name>")
@access(Access.SIGNED_IN)
def page(name: str) -> str:
    """With numbers in the address they are worked; without any, the sample is."""
    calculation, standard = _named(name), shop().standard
    sent = any(each.name in request.args for each in calculation.inputs)
    form = NumbersForm(calculation, standard, request.args if sent else sample(calculation))
    form.validate()
    return render_template(
        "calculations/page.html",
        calculation=calculation,
        form=form,
        sent=sent,
        takes={each.name: takes(calculation, each, standard) for each in calculation.inputs},
        evaluation=form.evaluation,
        shown=working.shown,
        **(_worked(form.evaluation) if form.evaluation else {}),
        lessons=reference.lessons_with(content.library, content.bank, name, language()),
        practice=reference.practice_with(content.bank, name),
        disputed=reference.disputed(calculation),
        from_memory=reference.from_memory(calculation),
    )


@bp.get("/<name>.json")
@access(Access.SIGNED_IN)
def as_json(name: str) -> Response:
    """What `trainer calc NAME --json` prints, with this shop's standard; for wrong input the sentences by input."""
    form = NumbersForm(_named(name), shop().standard, request.args)
    if form.validate() and form.evaluation:
        return _sent(report.as_data(form.evaluation, language()), 200)
    return _sent({"errors": form.errors}, 400)


@bp.get("/<name>.txt")
@access(Access.SIGNED_IN)
def as_text(name: str) -> Response:
    """What `trainer calc NAME --report` prints, with this shop's standard."""
    form = NumbersForm(_named(name), shop().standard, request.args)
    if form.validate() and form.evaluation:
        return Response(report.as_text(form.evaluation, language()), mimetype="text/plain")
    sentences = [sentence for those in form.errors.values() for sentence in those]
    return Response("\n".join(sentences) + "\n", 400, mimetype="text/plain")


def _worked(evaluation: Evaluation) -> dict[str, Any]:
    """What the page shows of a calculation that could be worked."""
    standard, words = shop().standard, language()
    return {
        "given": report.given(evaluation, words),
        "figures": reference.figures(evaluation, standard, words),
        "working": Markup(working.as_html(evaluation, words)),  # escaped there
        "query": typed.query(evaluation, standard, words),
    }


def _named(name: str) -> Calculation:
    try:
        return calc.get(name)
    except UnknownName:
        abort(404)


def _sent(data: object, status: int) -> Response:
    return Response(
        json.dumps(data, ensure_ascii=False, indent=2) + "\n", status, mimetype="application/json"
    )
