"""The shop standard: the shop's own figures, never looser than the floor that the sources set together.

A field knows what each source asks. A value that every one of them would find too loose is refused; a value that some
stricter source would not accept is taken, with a plain notice naming it.
"""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any, Final

from trainer.calc import notation
from trainer.calc.sources import source
from trainer.errors import Refusal, UnknownName
from trainer.languages import Text, in_language


@dataclass(frozen=True, slots=True)
class Position:
    """What one source asks of a field: a least or a greatest value [the field's unit]."""

    source: str
    at_least: float | None = None
    at_most: float | None = None

    def accepts(self, value: float) -> bool:
        return (self.at_least is None or value >= self.at_least - 1e-9) and (
            self.at_most is None or value <= self.at_most + 1e-9
        )

    @property
    def bound(self) -> float:
        """The figure the source names."""
        bound = self.at_least if self.at_least is not None else self.at_most
        if bound is None:
            raise ValueError(f"the position of {self.source} names no figure")
        return bound


@dataclass(frozen=True, slots=True)
class StandardField:
    """One figure of the shop standard.

    low, high: what can be meant at all [unit]; choices: the values of a field that is chosen, not measured
    """

    name: str
    unit: str
    default: Any
    meaning: Text
    positions: tuple[Position, ...]
    low: float = 0.0
    high: float = 1e9
    choices: tuple[str, ...] = ()

    def shown(self, value: Any, language: str = "en") -> str:
        if self.choices:
            return str(value)
        return (
            notation.write_inches(value) if self.unit == "in" else notation.write(value, self.unit, language)
        )

    def position(self, source_id: str) -> Position:
        """What the named source asks; UnknownName lists the sources that ask something."""
        for position in self.positions:
            if position.source == source_id:
                return position
        raise UnknownName(
            Text(
                en="no figure of %(source)s stands for %(field)s; there are %(known)s.",
                es="no hay una cifra de %(source)s para %(field)s; hay %(known)s.",
            ),
            source=repr(source_id),
            field=self.name,
            known=", ".join(position.source for position in self.positions),
        )


@dataclass(frozen=True, slots=True)
class Notice:
    """A stricter source that would not accept the shop's figure."""

    field: str
    source: str
    message: Text

    def in_language(self, language: str) -> str:
        return self.message.in_language(language)


COMMON = "common-practice"

FIELDS: Final[dict[str, StandardField]] = {
    field.name: field
    for field in (
        StandardField(
            "overhang",
            "in",
            2.0,
            Text(en="how far the crown hangs over the wall, each side", es="saliente de la corona, por lado"),
            (
                Position("fb1889", at_least=1.0),
                Position(COMMON, at_least=2.0),
                Position("astm-c1283", at_least=2.0),
                Position("mi-r408", at_least=2.0),
                Position("bia-1993", at_least=2.5),
            ),
            high=12.0,
        ),
        StandardField(
            "edge_thickness",
            "in",
            4.0,
            Text(en="thickness of the crown at its edge", es="espesor de la corona en la orilla"),
            (
                Position("astm-c1283", at_least=2.0),
                Position("mi-r408", at_least=2.0),
                Position("oh-local", at_least=3.0),
                Position("fb1889", at_least=4.0),
                Position(COMMON, at_least=4.0),
            ),
            low=1.0,
            high=24.0,
        ),
        StandardField(
            "bond_gap",
            "in",
            0.5,
            Text(
                en="compressible gap all round each flue (bond break)",
                es="holgura compresible alrededor de cada tubo (separación sin adherencia)",
            ),
            (Position(COMMON, at_least=0.25), Position("fireplace-author-2011", at_least=0.625)),
            high=3.0,
        ),
        StandardField(
            "cover",
            "in",
            1.5,
            Text(
                en="concrete between the steel and the form (cover)",
                es="concreto entre la varilla y la cimbra (recubrimiento)",
            ),
            (Position(COMMON, at_least=1.0), Position("aci-318", at_least=1.5)),
            high=6.0,
        ),
        StandardField(
            "max_spacing",
            "in",
            8.0,
            Text(
                en="greatest spacing of bars, centre to centre",
                es="separación máxima de varillas, de centro a centro",
            ),
            (Position("aci-318", at_most=18.0), Position(COMMON, at_most=12.0)),
            low=2.0,
            high=48.0,
        ),
        StandardField(
            "bar",
            "",
            "#3",
            Text(en="bar size", es="medida de la varilla"),
            (),
            choices=("#3", "#4", "#5"),
        ),
        StandardField(
            "projection",
            "in",
            3.0,
            Text(
                en="height the shop wants a flue to stand above the crown",
                es="altura que el taller quiere del tubo sobre la corona",
            ),
            (Position(COMMON, at_least=2.0), Position("nbc-9-21", at_least=2.0)),
            high=24.0,
        ),
        StandardField(
            "max_projection",
            "in",
            4.0,
            Text(
                en="greatest height of a flue above the crown before it is cut",
                es="altura máxima del tubo sobre la corona antes de cortarlo",
            ),
            (
                Position(COMMON, at_most=6.0),
                Position("astm-c1283", at_most=4.0),
                Position("fb1889", at_most=4.0),
                Position("nbc-9-21", at_most=4.0),
            ),
            high=24.0,
        ),
        StandardField(
            "cure",
            "day",
            14.0,
            Text(
                en="days between pouring and stripping, sealing and coating",
                es="días entre el colado y el descimbrado, sellado y recubrimiento con brocha",
            ),
            (Position("aci-318", at_least=7.0), Position(COMMON, at_least=14.0)),
            high=90.0,
        ),
        StandardField(
            "waste",
            "percent",
            10.0,
            Text(en="concrete ordered beyond the sizes (waste)", es="concreto de más por desperdicio"),
            (Position(COMMON, at_least=5.0), Position("navy-aid", at_least=10.0)),
            high=50.0,
        ),
        StandardField(
            "carry_limit",
            "lb",
            50.0,
            Text(en="most one person carries at a time", es="lo más que una persona carga de una vez"),
            (Position(COMMON, at_most=80.0), Position("niosh-94-110", at_most=51.0)),
            low=10.0,
            high=200.0,
        ),
    )
}

DEFAULT_SHOP: Final[dict[str, Any]] = {name: field.default for name, field in FIELDS.items()}


def field(name: str) -> StandardField:
    """The field of that name; UnknownName lists the ones there are."""
    try:
        return FIELDS[name]
    except KeyError:
        raise UnknownName(
            Text(
                en="the shop standard has no %(name)s; it has %(known)s.",
                es="el estándar del taller no tiene %(name)s; tiene %(known)s.",
            ),
            name=repr(name),
            known=", ".join(FIELDS),
        ) from None


def check(name: str, value: Any) -> list[Notice]:
    """The notices on a value of a field.

    Raises Refusal when the value is no value of the field, or looser than every source and common practice.
    """
    one = field(name)
    if one.choices:
        if value not in one.choices:
            raise _refused(
                one, value, Text(en="choose one of %s", es="elija uno de %s"), ", ".join(one.choices)
            )
        return []
    number = float(value)
    if not (math.isfinite(number) and one.low <= number <= one.high):
        ends = f"{one.shown(one.low)} – {one.shown(one.high)}"
        raise _refused(one, value, Text(en="it lies between %s", es="va de %s"), ends)
    refusing = [position for position in one.positions if not position.accepts(number)]
    if refusing and len(refusing) == len(one.positions):
        named = Text(en=_named(one, refusing, "en"), es=_named(one, refusing, "es"))
        raise _refused(
            one,
            value,
            Text(en="that is looser than every source: %s", es="es más flojo que toda fuente: %s"),
            named,
        )
    return [_notice(one, position, number) for position in refusing]


def check_all(values: Mapping[str, Any]) -> list[Notice]:
    """The notices on a whole standard; Refusal on the first figure, or pair of figures, that cannot stand."""
    notices = [notice for name in FIELDS for notice in check(name, values[name])]
    if values["max_projection"] < values["projection"]:
        raise Refusal(
            Text(
                en="the greatest flue height %(most)s is under the wanted height %(wanted)s; make it at least that.",
                es="la altura máxima del tubo %(most)s es menor que la deseada %(wanted)s; hágala por lo menos igual.",
            ),
            most=FIELDS["max_projection"].shown(values["max_projection"]),
            wanted=FIELDS["projection"].shown(values["projection"]),
        )
    return notices


def _named(one: StandardField, positions: list[Position], language: str) -> str:
    """The sources with what each asks, in one language."""
    titles = ((source(position.source).title.in_language(language), position.bound) for position in positions)
    return "; ".join(f"{title} ({one.shown(bound, language)})" for title, bound in titles)


def _refused(one: StandardField, value: Any, why: Text, detail: str | Text) -> Refusal:
    shown = value if one.choices or not math.isfinite(float(value)) else one.shown(float(value))
    return Refusal(
        Text(
            en="%(meaning)s cannot be %(value)s: %(why)s.",
            es="%(meaning)s no puede ser %(value)s: %(why)s.",
        ),
        meaning=one.meaning,
        value=shown,
        why=Text(en=why.en % in_language(detail, "en"), es=why.es % in_language(detail, "es")),
    )


def _notice(one: StandardField, position: Position, value: float) -> Notice:
    most = position.at_least is None
    title = source(position.source).title
    bound, given = one.shown(position.bound), one.shown(value)
    return Notice(
        one.name,
        position.source,
        Text(
            en=f"{title.en} asks for {'at most' if most else 'at least'} {bound}; the shop uses {given}.",
            es=f"{title.es} pide {'como máximo' if most else 'por lo menos'} {bound}; el taller usa {given}.",
        ),
    )
