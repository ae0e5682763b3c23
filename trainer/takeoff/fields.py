"""What a take-off is told: every field and every part of the work, declared once.

    FIELDS      what is measured on the chimney and what is chosen for the job, each an input of a calculation
    PARTS       the parts of the work that may be left out
    read_field  one typed text as the value the core takes
    shop_texts  the shop's own figures, with which a fresh form begins

Unit, meaning, range and default of a field are those of the calculation's input that it fills.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from fractions import Fraction
from typing import Any, Final

from trainer import calc
from trainer.calc import notation, reading, standard
from trainer.calc.spec import REQUIRED, Input, Same, Shop
from trainer.calc.typed import typed_input
from trainer.errors import Refusal
from trainer.languages import Text

MOST_FLUES: Final = 4
FLUES: Final = tuple(range(1, MOST_FLUES + 1))
INHERITED: Final = object()


@dataclass(frozen=True, slots=True)
class Part:
    """A part of the work. on: whether a fresh form holds it; note: what it covers, in one line."""

    name: str
    title: Text
    note: Text
    on: bool = True


@dataclass(frozen=True, slots=True)
class Field:
    """One thing that is entered.

    fills: the calculation and its input that this is; group: "chimney", "crown" or the part it belongs to
    meaning: where the input's own words would not tell it from another field
    shown: whether the form asks for it openly; the others usually stay as they are
    own_default: in place of the input's; REQUIRED when it must be given, None when it may be left out
    """

    name: str
    fills: tuple[str, str]
    group: str
    meaning: Text | None = None
    shown: bool = False
    own_default: Any = INHERITED

    @property
    def input(self) -> Input:
        calculation, name = self.fills
        return calc.get(calculation).input(name)

    @property
    def label(self) -> Text:
        return self.meaning or self.input.meaning

    @property
    def default(self) -> Any:
        return self.input.default if self.own_default is INHERITED else self.own_default

    @property
    def shop_field(self) -> str | None:
        """The figure of the shop standard that this field begins with."""
        return self.default.field if isinstance(self.default, Shop) else None

    def written(self, value: Any, language: str = "en") -> str:
        """A value of the field as it is typed."""
        if self.shop_field is not None:
            return standard.FIELDS[self.shop_field].shown(value, language)
        if isinstance(value, float):
            return notation.write(value, self.input.unit, language)
        return typed_input(self.input, value, language)


PARTS: Final = {
    part.name: part
    for part in (
        Part(
            "steel",
            Text(en="Steel in the crown", es="Varilla en la corona"),
            Text(en="The mat, and what to saw from which bar.", es="La parrilla y qué se corta de cada varilla."),
        ),
        Part(
            "sealant",
            Text(en="Sealant round the flues", es="Sellador alrededor de los tubos"),
            Text(en="Backer rod and cartridges.", es="Cordón de respaldo y cartuchos."),
        ),
        Part(
            "coating",
            Text(en="Brushed coating", es="Capa protectora con brocha"),
            Text(
                en="Pails, by the coverage on the label.", es="Cubetas, según el rendimiento de la etiqueta."
            ),
        ),
        Part(
            "flues",
            Text(en="Flue tops", es="Puntas de los tubos"),
            Text(
                en="What each tile must lose or gain, and its weight.",
                es="Lo que se corta o se añade a cada tubo, y su peso.",
            ),
        ),
        Part(
            "height",
            Text(en="Height above the roof", es="Altura sobre el techo"),
            Text(
                en="The least height that the roof asks for.", es="La altura mínima que pide el techo."
            ),
        ),
        Part(
            "debris",
            Text(en="Taking off the old crown", es="Quitar la corona vieja"),
            Text(en="Weight and trips down.", es="Peso y viajes para bajarlo."),
        ),
        Part(
            "protect",
            Text(en="Covering the roof", es="Cubrir el techo"),
            Text(en="Sheets round the chimney.", es="Hojas alrededor de la chimenea."),
            on=False,
        ),
        Part(
            "brick",
            Text(en="New brick at the top", es="Ladrillo nuevo arriba"),
            Text(
                en="Courses to rebuild, one brick thick; mortar to lay them is not counted.",
                es="Hiladas que se rehacen, de un ladrillo de grueso; no se cuenta el mortero para pegarlas.",
            ),
            on=False,
        ),
        Part(
            "repoint",
            Text(en="Repointing", es="Rejuntado"),
            Text(en="Joints of all four faces.", es="Juntas de las cuatro caras."),
            on=False,
        ),
    )
}  # fmt: skip


def _flue(number: int) -> tuple[Field, Field]:
    """Size and height of one flue; two are asked for openly."""
    size = Text(
        en=f"flue {number}, outside size (first along the length)",
        es=f"tubo {number}, medida exterior (primero a lo largo)",
    )
    top = Text(
        en=f"flue {number}: its top above the wall's top bed",
        es=f"tubo {number}: su punta sobre la última hilada",
    )
    openly = number <= 2
    return (
        Field(f"flue_{number}", ("crown.slab", "flue"), "chimney", size, openly, None),
        Field(f"above_wall_{number}", ("flue.cut", "flue_above_wall"), "chimney", top, openly, None),
    )


FIELDS: Final = {
    field.name: field
    for field in (
        Field("chimney_length", ("crown.slab", "chimney_length"), "chimney", shown=True, own_default=REQUIRED),
        Field("chimney_width", ("crown.slab", "chimney_width"), "chimney", shown=True, own_default=REQUIRED),
        *(field for number in FLUES for field in _flue(number)),
        Field("flue_spacing", ("crown.slab", "flue_spacing"), "chimney"),
        Field("pitch", ("chimney.height", "pitch"), "chimney", shown=True),
        Field("poured_on", ("concrete.strip", "poured_on"), "crown", shown=True),
        Field("overhang", ("crown.slab", "overhang"), "crown"),
        Field("edge_thickness", ("crown.slab", "edge_thickness"), "crown"),
        Field("flue_thickness", ("crown.slab", "flue_thickness"), "crown", shown=True),
        Field("bond_gap", ("crown.slab", "bond_gap"), "crown"),
        Field("board", ("form.boards", "board"), "crown"),
        Field("bag", ("concrete.bags", "bag"), "crown", shown=True),
        Field("bag_yield", ("concrete.bags", "yield"), "crown"),
        Field("waste", ("concrete.bags", "waste"), "crown"),
        Field("density", ("crown.slab", "density"), "crown"),
        Field("carry_limit", ("concrete.buckets", "carry_limit"), "crown"),
        Field("bucket_volume", ("concrete.buckets", "bucket_volume"), "crown"),
        Field("bucket_weight", ("concrete.buckets", "bucket_weight"), "crown"),
        Field("cure", ("concrete.strip", "cure"), "crown"),
        Field("coat_after", ("concrete.strip", "coat_after"), "crown"),
        Field("bar", ("rebar.mat", "bar"), "steel"),
        Field("cover", ("rebar.mat", "cover"), "steel"),
        Field("max_spacing", ("rebar.mat", "max_spacing"), "steel"),
        Field("stock_length", ("rebar.stock", "stock_length"), "steel"),
        Field("kerf", ("rebar.stock", "kerf"), "steel"),
        Field("cartridge", ("sealant.bead", "cartridge"), "sealant"),
        Field("sealant_waste", ("sealant.bead", "waste"), "sealant"),
        Field("coverage", ("coating.pails", "coverage"), "coating", shown=True),
        Field("coats", ("coating.pails", "coats"), "coating"),
        Field("pail", ("coating.pails", "pail"), "coating"),
        Field("base_thickness", ("flue.cut", "base_thickness"), "flues"),
        Field("projection", ("flue.cut", "projection"), "flues"),
        Field("max_projection", ("flue.cut", "max_projection"), "flues"),
        Field("wall_thickness", ("flue.weight", "wall_thickness"), "flues", own_default=None),
        Field("blade_diameter", ("flue.cutline", "blade_diameter"), "flues", own_default=None),
        Field("flange_diameter", ("flue.cutline", "flange_diameter"), "flues", own_default=None),
        Field("ridge_distance", ("chimney.height", "ridge_distance"), "height", shown=True),
        Field("roof_at_chimney", ("chimney.height", "roof_at_chimney"), "height"),
        Field(
            "old_thickness",
            ("crown.slab", "edge_thickness"),
            "debris",
            Text(en="thickness of the old crown, on average", es="espesor de la corona vieja, en promedio"),
            True,
            REQUIRED,
        ),
        Field(
            "old_overhang",
            ("crown.slab", "overhang"),
            "debris",
            Text(en="overhang of the old crown, each side", es="saliente de la corona vieja, por lado"),
            own_default=0.0,
        ),
        Field("brick_weight", ("roof.debris", "brick_weight"), "debris"),
        Field("allowed_load", ("roof.debris", "allowed_load"), "debris"),
        Field("margin", ("roof.protect", "margin"), "protect"),
        Field(
            "brick_rise",
            ("brick.count", "wall_height"),
            "brick",
            Text(en="height of brickwork to rebuild", es="altura de ladrillo que se rehace"),
            True,
        ),
        Field("brick_length", ("brick.count", "brick_length"), "brick"),
        Field("brick_height", ("brick.count", "brick_height"), "brick"),
        Field(
            "brick_depth",
            ("brick.count", "brick_height"),
            "brick",
            Text(en="depth of a brick, face to back", es="fondo de un ladrillo, de la cara a atrás"),
            True,
            REQUIRED,
        ),
        Field("joint", ("brick.count", "joint"), "brick"),
        Field("brick_waste", ("brick.count", "waste"), "brick"),
        Field(
            "repoint_rise",
            ("mortar.joints", "wall_height"),
            "repoint",
            Text(en="height of wall to repoint", es="altura de pared que se rejunta"),
            True,
        ),
        Field("rake_depth", ("mortar.repoint", "depth"), "repoint"),
        Field("mortar_waste", ("mortar.repoint", "waste"), "repoint"),
        Field("mortar_yield", ("mortar.repoint", "bag_yield"), "repoint"),
    )
}  # fmt: skip

GROUPS: Final = {
    "chimney": Text(en="The chimney as measured", es="La chimenea como se midió"),
    "crown": Text(en="The new crown", es="La corona nueva"),
    **{part.name: part.title for part in PARTS.values()},
}


def read_field(name: str, text: str, language: str = "en") -> Any:
    """The value typed for the field `name`, None for an empty text.

    Raises Refusal when it cannot be read, or is looser than the floor of the shop standard.
    """
    field = FIELDS[name]
    if not text.strip():
        return None
    try:
        value = reading.read_input(field.input, text, language)
    except Refusal as refusal:
        raise at_the_field(refusal) from None
    value = float(value) if isinstance(value, Fraction) else value
    if field.shop_field is not None:
        standard.check(field.shop_field, value)
    return value


def at_the_field(refusal: Refusal) -> Refusal:
    """The core's refusal of one input as it is said beside the field, where the input's name is not needed."""
    facts = refusal.facts
    if not {"name", "meaning", "allowed"} <= facts.keys():
        return refusal
    if "why" in facts:
        return Refusal(Text(en="%(why)s Give %(allowed)s.", es="%(why)s Dé %(allowed)s."), **facts)
    if "value" in facts:
        return Refusal(
            Text(
                en="it cannot be %(value)s; give %(allowed)s.", es="no puede ser %(value)s; dé %(allowed)s."
            ),
            **facts,
        )
    return Refusal(Text(en="it is missing; give %(allowed)s.", es="falta; dé %(allowed)s."), **facts)


def when_empty(field: Field, language: str = "en") -> str:
    """What an empty field stands for, in words; "" when it stands for nothing."""
    default = field.default
    if isinstance(default, Same):
        for other in FIELDS.values():
            if other.fills == (field.fills[0], default.input):
                return other.label.in_language(language)
    return field.written(default, language) if isinstance(default, float | str) else ""


def shop_texts(shop: Mapping[str, Any], language: str = "en") -> dict[str, str]:
    """The shop's own figures as typed in the fields that begin with them; shop: every field of the standard."""
    return {
        field.name: field.written(shop[field.shop_field], language)
        for field in FIELDS.values()
        if field.shop_field is not None
    }
