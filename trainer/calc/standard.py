"""The shop standard: the shop's own figures, never looser than the floor that the sources set together.

A field knows where each source stands, and whether the source requires its figure, advises it or only notes it. A value
that every one of them would find too loose is refused; a value that some stricter source would not accept is taken,
with a plain notice naming it.
"""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any, Final

from trainer.calc.shop_fields import DEFAULT_SHOP, FIELDS, Position, StandardField
from trainer.calc.sources import source
from trainer.errors import Refusal, UnknownName
from trainer.languages import LANGUAGES, Text, in_language

__all__ = [
    "DEFAULT_SHOP",
    "FIELDS",
    "Notice",
    "Position",
    "StandardField",
    "check",
    "check_all",
    "field",
]

# ACI 318: bars no further apart than three times the slab's thickness, and never over 18 in.
SPACING_IN_THICKNESSES: Final = 3.0


@dataclass(frozen=True, slots=True)
class Notice:
    """A stricter source that would not accept the shop's figure."""

    field: str
    source: str
    message: Text

    def in_language(self, language: str) -> str:
        return self.message.in_language(language)


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
        ends = (f"{one.shown(one.low, language)} – {one.shown(one.high, language)}" for language in LANGUAGES)
        raise _refused(one, value, Text(en="it lies between %s", es="va de %s"), Text(*ends))
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
    notices += _spacing_for_thickness(values["max_spacing"], values["edge_thickness"])
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


def _spacing_for_thickness(spacing: float, thickness: float) -> list[Notice]:
    """The notice on bars further apart than three times the thickness of the crown's edge."""
    most = SPACING_IN_THICKNESSES * thickness
    if spacing <= most + 1e-9:
        return []
    one, title = FIELDS["max_spacing"], source("aci-318").title
    bound, edge, given = one.shown(most), one.shown(thickness), one.shown(spacing)
    return [
        Notice(
            one.name,
            "aci-318",
            Text(
                en=f"{title.en} asks for bars at most {bound} apart in an edge of {edge}, 3 times its thickness; the "
                f"shop uses {given}.",
                es=f"{title.es} pide varillas a no más de {bound} en una orilla de {edge}, 3 veces su espesor; el "
                f"taller usa {given}.",
            ),
        )
    ]


def _named(one: StandardField, positions: list[Position], language: str) -> str:
    """The sources with what each asks, in one language."""
    titles = ((source(position.source).title.in_language(language), position.bound) for position in positions)
    return "; ".join(f"{title} ({one.shown(bound, language)})" for title, bound in titles)


def _refused(one: StandardField, value: Any, why: Text, detail: str | Text) -> Refusal:
    shown: Any = value
    if not one.choices and math.isfinite(float(value)):
        shown = Text(*(one.shown(float(value), language) for language in LANGUAGES))
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
    title, said = source(position.source).title, one.said(position)
    return Notice(
        one.name,
        position.source,
        Text(
            en=f"{title.en} {said.en}; the shop uses {one.shown(value, 'en')}.",
            es=f"{title.es} {said.es}; el taller usa {one.shown(value, 'es')}.",
        ),
    )
