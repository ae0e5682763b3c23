"""The form of a take-off, made from the core's own list of fields; and the form that keeps one."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from typing import Any

from werkzeug.datastructures import MultiDict
from wtforms import SelectField, StringField
from wtforms.fields.core import Field

from trainer import takeoff
from trainer.calc.spec import REQUIRED
from trainer.errors import Refusal
from trainer.web.current import language
from trainer.web.forms import CheckField, Form, at_most, form_token_field, needed, options
from trainer.web.i18n import _, _l, local, said
from trainer.web.words import how_to_type


@dataclass(frozen=True, slots=True)
class _Reading:
    """How a field was read, said back below it."""

    field: takeoff.Field
    value: float

    def shown(self, wanted: str) -> str:
        return self.field.written(self.value, wanted)


class CoreField(StringField):  # type: ignore[misc]
    """One field of the take-off, read by the core. data: the value; typed: as typed; reading: for the echo"""

    def __init__(self, label: Any = None, *, name_in_core: str, **options: Any) -> None:
        self.name_in_core = name_in_core
        self.reading: _Reading | None = None
        self.typed = ""
        super().__init__(label, **options)

    def process_data(self, value: str | None) -> None:
        self.typed = value or ""
        self.data = None

    def process_formdata(self, valuelist: list[str]) -> None:
        if not valuelist:
            return
        self.typed = valuelist[0].strip()
        try:
            self.data = takeoff.read_field(self.name_in_core, self.typed, language())
        except Refusal as refusal:
            raise ValueError(said(refusal)) from refusal
        if isinstance(self.data, float):
            self.reading = _Reading(takeoff.FIELDS[self.name_in_core], self.data)

    def _value(self) -> str:
        return self.typed


class TakeOffForm(Form):
    """Every field of a take-off, and the parts of the work; sent by its address, so it carries no token."""

    class Meta(Form.Meta):
        csrf = False

    part = CheckField(
        _l("Parts of the work"),
        choices=options((name, name) for name in takeoff.PARTS),
        default=[part.name for part in takeoff.PARTS.values() if part.on],
    )

    def of_group(self, group: str, shown: bool) -> list[Field]:
        """The fields of a group that are asked for openly, or the others."""
        found = (field for field in takeoff.FIELDS.values() if field.group == group)
        return [self[field.name] for field in found if field.shown == shown]

    @property
    def units(self) -> list[str]:
        """The units of its numbers."""
        return [field.input.unit for field in takeoff.FIELDS.values() if field.input.kind == "number"]

    def texts(self) -> dict[str, str]:
        """What was typed, without the empty fields."""
        typed = {name: self[name].typed if name in _TYPED else self[name].data for name in takeoff.FIELDS}
        return {name: text for name, text in typed.items() if text}

    def entered(self) -> Iterator[tuple[str, str]]:
        """Everything entered, as an address or hidden fields carry it."""
        yield from self.texts().items()
        yield from (("part", part) for part in self.part.data or ())


_TYPED = {name for name, field in takeoff.FIELDS.items() if field.input.kind != "choice"}


class KeepForm(Form):
    """The name under which a take-off is kept."""

    title = StringField(_l("Name of the job"), validators=[needed(), at_most(120)])
    form_token = form_token_field()


def takeoff_form(sent: MultiDict[str, str] | None, begun: Mapping[str, str]) -> TakeOffForm:
    """The form with what was sent; what was not sent stands as `begun`."""
    made: TakeOffForm = type(
        "ChimneyForm", (TakeOffForm,), {name: _field(field) for name, field in takeoff.FIELDS.items()}
    )(sent, data=dict(begun))
    for name, field in takeoff.FIELDS.items():
        # What can be left empty says what it then stands for; "optional" is for the rest.
        made[name].flags.required = field.default is not None
    return made


def _field(field: takeoff.Field) -> Any:
    label = local(field.label)
    label = label[:1].upper() + label[1:]
    kind = field.input.kind
    if kind == "choice":
        default = field.input.default if isinstance(field.input.default, str) else None
        named = field.input.words
        choices = options((one, local(named.get(one, one))) for one in field.input.choices)
        return SelectField(label, choices=choices, default=default)
    render = {"date": {"type": "date"}, "number": {"data-unit": field.input.unit}}.get(kind)
    return CoreField(label, name_in_core=field.name, description=_hint(field, kind), render_kw=render)


def _hint(field: takeoff.Field, kind: str) -> str:
    empty = takeoff.when_empty(field, language())
    if empty:
        return str(_("Left empty: %(value)s", value=empty))
    if kind == "flue":
        return str(_("For example: 13 x 13 in, or 10 in dia"))
    return how_to_type(field.input.unit) if kind == "number" and field.default is REQUIRED else ""
