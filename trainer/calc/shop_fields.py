"""The figures of the shop standard, and where each source stands on them.

Position        where one source stands: its figure, whether it requires, advises or only notes it
StandardField   one figure: its unit, default, meaning, range and positions
FIELDS          them all, by name; DEFAULT_SHOP: the standard as it comes
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any, Final

from trainer.calc import notation
from trainer.errors import UnknownName
from trainer.languages import Text

STANCES: Final[dict[str, Text]] = {
    "requires": Text(en="asks for", es="pide"),
    "advises": Text(en="advises", es="aconseja"),
    "notes": Text(en="gives", es="da"),
    "ours": Text(en="is", es="es"),
}


@dataclass(frozen=True, slots=True)
class Position:
    """Where one source stands on a field: a least or a greatest value [the field's unit].

    kind: "requires", "advises", "notes" (the figure stands there, but not as a limit for this), or "ours" (no source)
    wording: what it says with %(bound)s for the figure, where "asks for at least %(bound)s" would not be true to it
    """

    source: str
    at_least: float | None = None
    at_most: float | None = None
    kind: str = "requires"
    wording: Text | None = None

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

    def said(self, position: Position) -> Text:
        """What a source says of this field: "asks for at least 2 in"."""
        wording, stance = position.wording, STANCES[position.kind]
        if wording is None and position.at_least is not None:
            wording = Text(en=f"{stance.en} at least %(bound)s", es=f"{stance.es} por lo menos %(bound)s")
        elif wording is None:
            wording = Text(en=f"{stance.en} at most %(bound)s", es=f"{stance.es} como máximo %(bound)s")
        return Text(
            en=wording.en % {"bound": self.shown(position.bound, "en")},
            es=wording.es % {"bound": self.shown(position.bound, "es")},
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


COMMON, OURS = "common-practice", "own-default"

FIELDS: Final[dict[str, StandardField]] = {
    field.name: field
    for field in (
        StandardField(
            "overhang",
            "in",
            2.0,
            Text(en="how far the crown hangs over the wall, each side", es="saliente de la corona, por lado"),
            (
                Position("fb1889", at_least=1.0, kind="advises"),
                Position(COMMON, at_least=2.0, kind="advises"),
                Position("astm-c1283", at_least=2.0),
                Position("mi-r408", at_least=2.0),
                Position(
                    "bia-1993",
                    at_least=2.5,
                    kind="advises",
                    wording=Text(
                        en="advises a cap %(bound)s wider than the chimney, taken here on each side; it may mean both "
                        "sides together",
                        es="aconseja una corona %(bound)s más ancha que la chimenea, tomado aquí por lado; quizá sea "
                        "por los dos lados juntos",
                    ),
                ),
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
                Position(
                    "fb1889",
                    at_least=4.0,
                    kind="notes",
                    wording=Text(en="calls %(bound)s usual", es="dice que lo usual son %(bound)s"),
                ),
                Position(COMMON, at_least=4.0, kind="advises"),
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
            (
                Position(OURS, at_least=0.25, kind="ours"),
                Position("fireplace-author-2011", at_least=0.625, kind="advises"),
            ),
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
            (Position(COMMON, at_least=1.0, kind="advises"), Position("aci-318", at_least=1.5)),
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
            (
                Position(
                    "aci-318",
                    at_most=18.0,
                    wording=Text(
                        en="asks for at most %(bound)s, and at most 3 times the thickness of the slab",
                        es="pide como máximo %(bound)s, y como máximo 3 veces el espesor de la losa",
                    ),
                ),
                Position(OURS, at_most=12.0, kind="ours"),
            ),
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
            (Position(COMMON, at_least=2.0, kind="advises"), Position("nbc-9-21", at_least=2.0)),
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
                Position(COMMON, at_most=6.0, kind="advises"),
                Position("astm-c1283", at_most=4.0),
                Position(
                    "fb1889",
                    at_most=4.0,
                    kind="advises",
                    wording=Text(en="advises %(bound)s", es="aconseja %(bound)s"),
                ),
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
            (
                Position(
                    "aci-308",
                    at_least=7.0,
                    wording=Text(
                        en="asks for %(bound)s of damp curing above 50 °F, which says nothing of stripping or coating",
                        es="pide %(bound)s de curado húmedo arriba de 50 °F, lo que no dice nada de descimbrar o recubrir",
                    ),
                ),
                Position(COMMON, at_least=14.0, kind="advises"),
            ),
            high=90.0,
        ),
        StandardField(
            "waste",
            "percent",
            10.0,
            Text(en="concrete ordered beyond the sizes (waste)", es="concreto de más por desperdicio"),
            (Position(OURS, at_least=5.0, kind="ours"), Position("navy-aid", at_least=10.0, kind="advises")),
            high=50.0,
        ),
        StandardField(
            "carry_limit",
            "lb",
            50.0,
            Text(en="most one person carries at a time", es="lo más que una persona carga de una vez"),
            (
                Position(OURS, at_most=80.0, kind="ours"),
                Position(
                    "niosh-94-110",
                    at_most=51.0,
                    kind="notes",
                    wording=Text(
                        en="gives %(bound)s for a two-handed lift under the best conditions; it sets no limit for "
                        "carrying, least of all on a ladder",
                        es="da %(bound)s para levantar con las dos manos en las mejores condiciones; no fija un límite "
                        "para acarrear, menos en una escalera",
                    ),
                ),
            ),
            low=10.0,
            high=200.0,
        ),
    )
}

DEFAULT_SHOP: Final[dict[str, Any]] = {name: field.default for name, field in FIELDS.items()}
