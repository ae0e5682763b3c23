"""Reinforcing steel: bar sizes and the mat.

rebar.mat
"""

from __future__ import annotations

from collections import Counter
from typing import Any, Final, NamedTuple

from trainer.calc import cautions
from trainer.calc.algebra import IN_PER_FT, Constant, alike, at_least, least, plain, round_up, total
from trainer.calc.bars import LaidBar, lay
from trainer.calc.crown import BOND_GAP, FLUE, FLUE_SPACING, check_flue_spacing
from trainer.calc.openings import Flue, Opening, layout
from trainer.calc.spec import Input, Quantity, Shop, calculation
from trainer.errors import Refusal
from trainer.languages import Text

MINIMUM_RATIO: Final = 0.0018  # ACI 318-19 24.4.3, temperature and shrinkage steel, from memory


class Bar(NamedTuple):
    """One bar size: diameter [in], area [in²], weight [lb/ft]."""

    diameter: Constant
    area: Constant
    weight: Constant


def _bar(diameter: float, area: float, weight: float) -> Bar:
    return Bar(Constant(diameter, "in"), Constant(area, "in2"), Constant(weight, "lb/ft"))


# ASTM A615 Table 1: nominal diameter, cross-sectional area, weight. #5 from memory.
BARS: Final = {
    "#3": _bar(0.375, 0.11, 0.376),
    "#4": _bar(0.500, 0.20, 0.668),
    "#5": _bar(0.625, 0.31, 1.043),
}

BAR = Input(
    "bar",
    "bar",
    "",
    Text(en="bar size", es="medida de la varilla"),
    default=Shop("bar"),
    kind="choice",
    choices=tuple(BARS),
)


def _plain_flue(flue: Flue) -> Flue:
    return Flue(flue.shape, float(plain(flue.length)), float(plain(flue.width)))


def mat_openings(v: Any) -> tuple[Opening, ...]:
    """The openings of the mat's slab, in plain numbers; a round one counts as its bounding square."""
    return layout(
        [_plain_flue(flue) for flue in v.flue],
        float(plain(v.bond_gap)),
        float(plain(v.flue_spacing)),
        bool(v.slab_length >= v.slab_width),
    )


def mat_bars(v: Any, openings: tuple[Opening, ...]) -> tuple[tuple[LaidBar, ...], tuple[LaidBar, ...]]:
    """The long and the short bars as they lie, in plain numbers."""
    cover, diameter = float(plain(v.cover)), float(plain(v.bar_diameter))

    def laid(along_length: bool, count: Any, spacing: Any, length: Any) -> tuple[LaidBar, ...]:
        bars, apart, whole = (float(plain(each)) for each in (count, spacing, length))
        return lay(along_length, bars, apart, whole, openings, cover, diameter)

    return (
        laid(True, v.long_bars, v.long_spacing, v.long_length),
        laid(False, v.short_bars, v.short_spacing, v.short_length),
    )


def _slab_size(v: Any) -> str:
    return f"{float(plain(v.slab_length)):g} x {float(plain(v.slab_width)):g} in"


def _sum_of(pieces: list[float], model: Any) -> Any:
    """The pieces added up on the board, equal ones counted together: 3 × 40 1/2 + 4 × 12 1/4."""
    counted = Counter(round(piece, 9) for piece in pieces)
    return total(times * alike(model, Constant(piece, "in")) for piece, times in counted.items())


@calculation(
    "rebar.mat",
    title=Text(en="Rebar mat", es="Parrilla de varilla"),
    purpose=Text(
        en="Bars, spacing, cuts at the flues, total length and whether the slab is deep enough for the mat.",
        es="Varillas, separación, cortes en los tubos, largo total y si el espesor de la losa alcanza.",
    ),
    inputs=(
        Input("slab_length", "L", "in", Text(en="slab length", es="largo de la losa"), low=8.0, high=264.0),
        Input("slab_width", "W", "in", Text(en="slab width", es="ancho de la losa"), low=8.0, high=264.0),
        Input(
            "thickness",
            "t",
            "in",
            Text(en="slab thickness at its edge", es="espesor de la losa en la orilla"),
            default=Shop("edge_thickness"),
            low=1.0,
            high=24.0,
        ),
        Input(
            "cover",
            "c",
            "in",
            Text(
                en="concrete between the form and the steel",
                es="concreto entre la cimbra y la varilla (recubrimiento)",
            ),
            default=Shop("cover"),
            high=6.0,
        ),
        Input(
            "max_spacing",
            "s_m",
            "in",
            Text(en="greatest spacing, centre to centre", es="separación máxima, de centro a centro"),
            default=Shop("max_spacing"),
            low=1.0,
            high=48.0,
        ),
        BAR,
        FLUE,
        BOND_GAP,
        FLUE_SPACING,
    ),
    quantities=(
        Quantity("bar_diameter", "d", "in", Text(en="bar diameter", es="diámetro de la varilla")),
        Quantity(
            "clear_across",
            "E_W",
            "in",
            Text(en="first to last long bar, centre to centre", es="de la primera a la última varilla larga"),
        ),
        Quantity(
            "long_gaps_exact",
            "n_L",
            "count",
            Text(
                en="spaces between long bars before rounding",
                es="espacios entre varillas largas, sin redondear",
            ),
        ),
        Quantity(
            "long_gaps",
            "G_L",
            "count",
            Text(en="spaces between long bars", es="espacios entre varillas largas"),
            rounds="long_gaps_exact",
        ),
        Quantity(
            "long_bars", "N_L", "count", Text(en="long bars", es="varillas largas"), rounds="long_gaps_exact"
        ),
        Quantity(
            "long_spacing",
            "s_L",
            "in",
            Text(
                en="spacing of the long bars, centre to centre",
                es="separación de las largas, de centro a centro",
            ),
        ),
        Quantity(
            "clear_along",
            "E_L",
            "in",
            Text(
                en="first to last short bar, centre to centre", es="de la primera a la última varilla corta"
            ),
        ),
        Quantity(
            "short_gaps_exact",
            "n_S",
            "count",
            Text(
                en="spaces between short bars before rounding",
                es="espacios entre varillas cortas, sin redondear",
            ),
        ),
        Quantity(
            "short_gaps",
            "G_S",
            "count",
            Text(en="spaces between short bars", es="espacios entre varillas cortas"),
            rounds="short_gaps_exact",
        ),
        Quantity(
            "short_bars",
            "N_S",
            "count",
            Text(en="short bars", es="varillas cortas"),
            rounds="short_gaps_exact",
        ),
        Quantity(
            "short_spacing",
            "s_S",
            "in",
            Text(
                en="spacing of the short bars, centre to centre",
                es="separación de las cortas, de centro a centro",
            ),
        ),
        Quantity(
            "long_length", "l_L", "in", Text(en="length of a long bar", es="largo de una varilla larga")
        ),
        Quantity(
            "short_length", "l_S", "in", Text(en="length of a short bar", es="largo de una varilla corta")
        ),
        Quantity(
            "bars_cut", "N_c", "count", Text(en="bars cut at a flue", es="varillas cortadas en un tubo")
        ),
        Quantity(
            "total_length",
            "l_T",
            "ft",
            Text(en="bar that remains, all pieces", es="varilla que queda, en total"),
        ),
        Quantity(
            "weight_per_length",
            "w_b",
            "lb/ft",
            Text(en="weight of a foot of bar", es="peso por pie de varilla"),
        ),
        Quantity("weight", "w", "lb", Text(en="weight of the mat", es="peso de la parrilla")),
        Quantity(
            "ties",
            "N_t",
            "count",
            Text(en="crossings to tie, openings ignored", es="cruces por amarrar, sin contar los huecos"),
        ),
        Quantity("bar_area", "A_b", "in2", Text(en="area of one bar", es="área de una varilla")),
        Quantity(
            "steel_ratio_long", "ρ_L", "", Text(en="steel ratio of the long bars", es="cuantía de las largas")
        ),
        Quantity(
            "steel_ratio_short",
            "ρ_S",
            "",
            Text(en="steel ratio of the short bars", es="cuantía de las cortas"),
        ),
        Quantity(
            "meets_minimum",
            "ρ ok",
            "",
            Text(en="both steel ratios are at least 0.0018", es="las dos cuantías llegan a 0.0018"),
            kind="flag",
        ),
        Quantity(
            "depth_needed",
            "t_n",
            "in",
            Text(
                en="two crossing bars with cover above and below",
                es="dos varillas cruzadas con recubrimiento arriba y abajo",
            ),
        ),
        Quantity(
            "fits",
            "fits",
            "",
            Text(en="the slab is deep enough for the mat", es="el espesor alcanza para la parrilla"),
            kind="flag",
        ),
    ),
    results=(
        "long_bars",
        "short_bars",
        "long_spacing",
        "short_spacing",
        "long_length",
        "short_length",
        "bars_cut",
        "total_length",
        "weight",
        "ties",
        "steel_ratio_long",
        "steel_ratio_short",
        "meets_minimum",
        "depth_needed",
        "fits",
    ),
    sources=("astm-a615", "aci-318", "common-practice"),
    notes=(
        Text(
            en="The least steel ratio of 0.0018 is the one against shrinkage and temperature (ACI 318, from "
            "memory), not a design for a load. ACI 318 also wants bars no more than 3 slab thicknesses apart.",
            es="La cuantía mínima de 0.0018 es la de contracción y temperatura (ACI 318, de memoria), no un "
            "diseño para una carga. ACI 318 pide además varillas a no más de 3 espesores de losa.",
        ),
    ),
    sample={"slab_length": "44 1/2 in", "slab_width": "28 in", "flue": ("13 x 13 in",)},
    cautions=(cautions.BAR_ENDS, cautions.POWER_LINE),
)
def mat(v: Any) -> None:
    """Two layers of evenly spaced bars, held back from the form and from every opening by the cover.

    Raises Refusal when the slab is too small for two bars each way.
    """
    check_flue_spacing(v)
    bar = BARS[v.bar]
    v.bar_diameter = bar.diameter
    v.clear_across = v.slab_width - 2 * v.cover - v.bar_diameter
    v.clear_along = v.slab_length - 2 * v.cover - v.bar_diameter
    if v.clear_across <= 0 or v.clear_along <= 0:
        raise Refusal(
            Text(
                en="a slab of %(slab)s leaves no room for bars with %(cover)g in of cover; check the sizes and cover.",
                es="una losa de %(slab)s no deja lugar a varillas con %(cover)g in de recubrimiento; "
                "revise las medidas y cover.",
            ),
            slab=_slab_size(v),
            cover=float(plain(v.cover)),
        )
    openings = mat_openings(v)
    for opening in openings:
        if 2 * abs(opening.x) + opening.length >= plain(v.slab_length) or 2 * abs(
            opening.y
        ) + opening.width >= plain(v.slab_width):
            raise Refusal(
                Text(
                    en="the openings with their gaps reach the edge of a slab of %(slab)s; "
                    "check flue, bond_gap, flue_spacing and the slab's sizes.",
                    es="los huecos con sus holguras llegan a la orilla de una losa de %(slab)s; "
                    "revise flue, bond_gap, flue_spacing y las medidas de la losa.",
                ),
                slab=_slab_size(v),
            )
    v.long_gaps_exact = v.clear_across / v.max_spacing
    v.long_gaps = round_up(v.long_gaps_exact)
    v.long_bars = v.long_gaps + 1
    v.long_spacing = v.clear_across / v.long_gaps
    v.short_gaps_exact = v.clear_along / v.max_spacing
    v.short_gaps = round_up(v.short_gaps_exact)
    v.short_bars = v.short_gaps + 1
    v.short_spacing = v.clear_along / v.short_gaps
    v.long_length = v.slab_length - 2 * v.cover
    v.short_length = v.slab_width - 2 * v.cover
    longs, shorts = mat_bars(v, openings)
    laid = [*longs, *shorts]
    v.bars_cut = float(sum(one.is_cut for one in laid))
    v.total_length = _sum_of([piece for one in laid for piece in one.lengths], v.long_length) / IN_PER_FT
    v.weight_per_length = bar.weight
    v.weight = v.total_length * v.weight_per_length
    v.ties = v.long_bars * v.short_bars
    v.bar_area = bar.area
    v.steel_ratio_long = v.long_bars * v.bar_area / (v.slab_width * v.thickness)
    v.steel_ratio_short = v.short_bars * v.bar_area / (v.slab_length * v.thickness)
    v.meets_minimum = at_least(least(v.steel_ratio_long, v.steel_ratio_short), MINIMUM_RATIO)
    v.depth_needed = 2 * v.cover + 2 * v.bar_diameter
    v.fits = at_least(v.thickness, v.depth_needed)
