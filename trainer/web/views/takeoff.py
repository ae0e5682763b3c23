"""The take-off of a real chimney: its numbers entered once, one job sheet, on screen and on paper.

The numbers stand in the address, so that a sheet can be sent to someone; nothing is stored before it is asked for.
"""

from __future__ import annotations

from typing import Any
from urllib.parse import urlencode

from flask import Blueprint, abort, render_template, request, url_for
from markupsafe import Markup
from werkzeug.datastructures import MultiDict
from werkzeug.wrappers import Response

from trainer import drawings, printing, takeoff
from trainer.calc import working
from trainer.errors import Refusal
from trainer.records import jobs, queries
from trainer.records.queries import JobRow
from trainer.takeoff import Outcome, TakeOff
from trainer.web.access import Access, access
from trainer.web.current import language, now, person, shop, store, today
from trainer.web.forms.takeoff import KeepForm, TakeOffForm, takeoff_form
from trainer.web.i18n import _, local, said
from trainer.web.pages import done, refuse

bp = Blueprint("takeoff", __name__, url_prefix="/take-off")


@bp.get("")
@access(Access.SIGNED_IN)
def page() -> str:
    """The form, with what the address carries and what is wrong with it."""
    form = _form(request.args)
    filled = request.args.keys() & takeoff.FIELDS.keys()
    return _form_page(form, _run(form) if filled and form.validate() else None)


@bp.get("/sheet")
@access(Access.SIGNED_IN)
def sheet() -> str:
    """The job sheet of the numbers in the address; the form again when there is no crown to draw."""
    form = _form(request.args)
    if not form.validate():
        return _form_page(form)
    take_off = _run(form)
    if not take_off.done("slab"):
        return _form_page(form, take_off)
    return _sheet_page(form, take_off, KeepForm(None), _job_in_address())


@bp.get("/sheet.pdf")
@access(Access.SIGNED_IN)
def paper() -> Response:
    """The same sheet as PDF; `paper` in the address names its size."""
    form = _form(request.args)
    take_off = _run(form) if form.validate() else None
    if take_off is None or not take_off.done("slab"):
        abort(400)
    size = request.args.get("paper", printing.PAPERS[0])
    if size not in printing.PAPERS:
        abort(400)
    title = request.args.get("title", "")[:120].strip() or _("Job sheet")
    html = render_template("print/takeoff.html", title=title, today=today(), **_shown(take_off))
    response = Response(printing.pdf(html, size), mimetype="application/pdf")
    response.headers["Content-Disposition"] = "inline; filename=job-sheet.pdf"
    return response


@bp.get("/jobs")
@access(Access.SIGNED_IN)
def kept() -> str:
    """The shop's kept take-offs."""
    with store.read() as reading:
        listing = queries.jobs(reading, person(), request.args.get("page", 1, type=int))
    return render_template("takeoff/jobs.html", listing=listing)


@bp.get("/jobs/<int:job_id>")
@access(Access.SIGNED_IN)
def job(job_id: int) -> str:
    """A kept take-off, worked out anew."""
    row = _job(job_id)
    form = _form(_sent(row))
    if not form.validate():
        return _form_page(form)
    return _sheet_page(form, _run(form), KeepForm(None), row, kept=True)


@bp.post("/jobs")
@access(Access.SIGNED_IN)
def save() -> str | Response:
    form, keep = _form(request.form), KeepForm()
    if form.validate() and keep.validate_on_submit():
        try:
            with store.write() as writing:
                number = jobs.save(
                    writing, person(), now(), token=keep.form_token.data, **_entered(form, keep)
                )
        except Refusal as refusal:
            refuse(keep, refusal)
        else:
            return done(_("Saved. Everyone of the shop can open it."), "takeoff.job", job_id=number)
    return _again(form, keep, None)


@bp.post("/jobs/<int:job_id>/change")
@access(Access.SIGNED_IN)
def change(job_id: int) -> str | Response:
    row = _job(job_id)
    if not row.may_change:
        abort(403)
    form, keep = _form(request.form), KeepForm()
    if form.validate() and keep.validate_on_submit():
        with store.write() as writing:
            jobs.change(writing, person(), now(), job_id, **_entered(form, keep))
        return done(_("Changed."), "takeoff.job", job_id=job_id)
    return _again(form, keep, row)


@bp.post("/jobs/<int:job_id>/remove")
@access(Access.SIGNED_IN)
def remove(job_id: int) -> Response:
    with store.write() as writing:
        jobs.remove(writing, person(), now(), job_id)
    return done(_("Removed from the list. The history keeps what it held."), "takeoff.kept")


def _form(sent: MultiDict[str, str]) -> TakeOffForm:
    """The form with the numbers sent, or a fresh one with the shop's figures."""
    begun = takeoff.shop_texts(shop().standard, language())
    if sent.keys() & (takeoff.FIELDS.keys() | {"part"}):
        return takeoff_form(sent, begun)
    return takeoff_form(None, begun | {"poured_on": today().isoformat()})


def _run(form: TakeOffForm) -> TakeOff:
    return takeoff.run(takeoff.read(form.texts(), form.part.data or (), language()), shop().standard)


def _entered(form: TakeOffForm, keep: KeepForm) -> dict[str, Any]:
    return {"title": keep.title.data, "texts": form.texts(), "parts": form.part.data or ()}


def _form_page(form: TakeOffForm, take_off: TakeOff | None = None) -> str:
    """The form; each refusal of the take-off stands beside its field, once."""
    for outcome in take_off.refused if take_off else ():
        assert outcome.refusal is not None and outcome.field is not None
        if said(outcome.refusal) not in form[outcome.field.name].errors:
            refuse(form, outcome.refusal, outcome.field.name)
    return render_template(
        "takeoff/page.html", form=form, groups=takeoff.GROUPS, parts=takeoff.PARTS, job=_job_in_address()
    )


def _sheet_page(
    form: TakeOffForm, take_off: TakeOff, keep: KeepForm, row: JobRow | None, kept: bool = False
) -> str:
    if row is not None and not keep.is_submitted():
        keep.title.data = row.title
    return render_template(
        "takeoff/sheet.html",
        form=form,
        keep=keep,
        job=row,
        kept=kept,
        change_at=_address("takeoff.page", form, job=row.id if row else ""),
        papers=[
            (size, _address("takeoff.paper", form, paper=size, title=keep.title.data or ""))
            for size in printing.PAPERS
        ],
        **_shown(take_off),
    )


def _address(endpoint: str, form: TakeOffForm, **more: object) -> str:
    """The address of a page with everything entered, and with what more is given."""
    query = [*form.entered(), *((name, str(value)) for name, value in more.items() if value)]
    return f"{url_for(endpoint)}?{urlencode(query)}"


def _again(form: TakeOffForm, keep: KeepForm, row: JobRow | None) -> str:
    """The page a form came from, with what is wrong; the numbers come first."""
    take_off = None if form.errors else _run(form)
    if take_off is None or not take_off.done("slab"):
        return _form_page(form, take_off)
    return _sheet_page(form, take_off, keep, row)


def _shown(take_off: TakeOff) -> dict[str, Any]:
    """What the sheet shows, on screen and on paper."""
    spoken, lines = language(), takeoff.sheet
    return {
        "take_off": take_off,
        "key_figures": list(lines.key_figures(take_off, spoken)),
        "materials": list(lines.materials(take_off, spoken)),
        "loads": list(lines.loads(take_off, spoken)),
        "steps": list(lines.steps(take_off, spoken)),
        "cuts": list(lines.cuts(take_off, spoken)),
        "cautions": list(lines.cautions(take_off, spoken)),
        "figures": list(_figures(take_off)),
        "results_of": _results,
        "working_of": _working,
    }


def _figures(take_off: TakeOff) -> Any:
    """The drawings of the sheet: every figure of a calculation that the chain says belongs on it."""
    stands = take_off.value("cut_1.projection") or shop().standard["projection"]
    for outcome in take_off.outcomes.values():
        if outcome.evaluation is None or not outcome.link.drawn:
            continue
        for figure in drawings.figures_of(outcome.link.calculation):
            yield outcome.link, drawings.draw(figure.name, outcome.evaluation, language(), projection=stands)


def _results(outcome: Outcome) -> list[tuple[str, str]]:
    """(meaning, value) of each result of a link that was worked out."""
    made = outcome.evaluation
    assert made is not None
    return [
        (local(each.meaning), working.shown(made.results[each.name], each, language()))
        for each in made.calculation.results
    ]


def _working(outcome: Outcome) -> Markup:
    """The worked solution of a link."""
    assert outcome.evaluation is not None
    return Markup(working.as_html(outcome.evaluation, language()))


def _job(job_id: int) -> JobRow:
    with store.read() as reading:
        return queries.job(reading, person(), job_id)


def _job_in_address() -> JobRow | None:
    """The kept job that is being changed, when the address names one."""
    number = request.args.get("job", "")
    try:
        return _job(int(number)) if number.isdecimal() and len(number) < 10 else None
    except Refusal:
        return None


def _sent(row: JobRow) -> MultiDict[str, str]:
    return MultiDict([*row.texts.items(), *(("part", part) for part in row.parts)])
