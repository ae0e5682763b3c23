"""The crown: its size, openings, wash, volume, weight and slope.

crown.slab, crown.slope
"""

from __future__ import annotations

from typing import Any

from trainer.calc import cautions
from trainer.calc.algebra import (
    CUIN_PER_CUFT,
    IN_PER_FT,
    PERCENT,
    SQIN_PER_SQFT,
    arctangent,
    more_than,
    plain,
    total,
)
from trainer.calc.openings import Flue
from trainer.calc.spec import Input, Quantity, Same, Shop, calculation
from trainer.errors import Refusal
from trainer.languages import Text

FLUE = Input(
    "flue",
    "f",
    "in",
    Text(
        en="flue tile, outside size; the first size lies along the length",
        es="tubo de arcilla, medida exterior; la primera va a lo largo",
    ),
    default=(),
    low=2.0,
    high=48.0,
    kind="flue",
    many=True,
)
BOND_GAP = Input(
    "bond_gap",
    "g",
    "in",
    Text(en="compressible gap all round each flue", es="holgura compresible alrededor de cada tubo"),
    default=Shop("bond_gap"),
    high=3.0,
)
FLUE_SPACING = Input(
    "flue_spacing",
    "s_f",
    "in",
    Text(
        en="clear distance between neighbouring flues' outside faces",
        es="distancia libre por fuera entre tubos vecinos",
    ),
    default=4.0,
    high=48.0,
)


def check_flue_spacing(v: Any) -> None:
    """Refusal when neighbouring openings would run into each other."""
    if len(v.flue) > 1 and not more_than(plain(v.flue_spacing), plain(2 * v.bond_gap)):
        raise Refusal(
            Text(
                en="flue_spacing %(spacing)g in leaves no concrete between the openings; "
                "give more than twice bond_gap, %(least)g in.",
                es="flue_spacing %(spacing)g in no deja concreto entre los huecos; "
                "dé más que el doble de bond_gap, %(least)g in.",
            ),
            spacing=float(plain(v.flue_spacing)),
            least=2 * float(plain(v.bond_gap)),
        )


def in_a_row(sides: list[Any], spacing: Any, gap: Any) -> Any:
    """Length of a row of openings, outside to outside [in]."""
    row = total(sides)
    if len(sides) > 1:
        row = row + (spacing if len(sides) == 2 else (len(sides) - 1) * spacing)
    return row + 2 * gap


def crest_sides(flues: list[Flue], spacing: Any, gap: Any, along_length: bool) -> tuple[Any, Any]:
    """The rectangle round all openings: along the length and along the width [in]."""
    lengths = [flue.length for flue in flues]
    widths = [flue.width for flue in flues]
    if along_length:
        return in_a_row(lengths, spacing, gap), max(widths) + 2 * gap
    return max(lengths) + 2 * gap, in_a_row(widths, spacing, gap)


@calculation(
    "crown.slab",
    title=Text(en="Crown slab", es="Losa de la corona"),
    purpose=Text(
        en="Size, concrete volume, weight and slope of a crown cast round its flues.",
        es="Medidas, volumen de concreto, peso y pendiente de una corona colada alrededor de sus tubos.",
    ),
    inputs=(
        Input(
            "chimney_length",
            "L_c",
            "in",
            Text(
                en="chimney length, outside faces of the top course",
                es="largo de la chimenea, por fuera de la última hilada",
            ),
            low=8.0,
            high=240.0,
        ),
        Input(
            "chimney_width",
            "W_c",
            "in",
            Text(
                en="chimney width, outside faces of the top course",
                es="ancho de la chimenea, por fuera de la última hilada",
            ),
            low=8.0,
            high=240.0,
        ),
        Input(
            "overhang",
            "o",
            "in",
            Text(en="overhang past the wall, each side", es="saliente, por lado"),
            default=Shop("overhang"),
            high=12.0,
        ),
        Input(
            "edge_thickness",
            "t",
            "in",
            Text(en="thickness at the edge", es="espesor en la orilla"),
            default=Shop("edge_thickness"),
            low=1.0,
            high=24.0,
        ),
        Input(
            "flue_thickness",
            "T",
            "in",
            Text(en="thickness where the slab meets the flue", es="espesor donde la losa llega al tubo"),
            default=Same("edge_thickness"),
            low=1.0,
            high=24.0,
        ),
        FLUE,
        BOND_GAP,
        FLUE_SPACING,
        Input(
            "density",
            "D",
            "lb/ft3",
            Text(en="density of the concrete", es="densidad del concreto"),
            default=145.0,
            low=60.0,
            high=200.0,
        ),
    ),
    quantities=(
        Quantity("slab_length", "L", "in", Text(en="slab length", es="largo de la losa")),
        Quantity("slab_width", "W", "in", Text(en="slab width", es="ancho de la losa")),
        Quantity("perimeter", "P", "in", Text(en="distance round the slab", es="perímetro de la losa")),
        Quantity("gross_area", "A_g", "ft2", Text(en="area over all", es="área total")),
        Quantity("opening_area", "A_o", "ft2", Text(en="area of the flue openings", es="área de los huecos")),
        Quantity(
            "net_area",
            "A_n",
            "ft2",
            Text(en="area of concrete seen from above", es="área de concreto vista de arriba"),
        ),
        Quantity(
            "crest_length",
            "C",
            "in",
            Text(en="rectangle round the openings, length", es="rectángulo alrededor de los huecos, largo"),
        ),
        Quantity(
            "crest_width",
            "D_c",
            "in",
            Text(en="rectangle round the openings, width", es="rectángulo alrededor de los huecos, ancho"),
        ),
        Quantity("rise", "h", "in", Text(en="rise from edge to flue", es="subida de la orilla al tubo")),
        Quantity(
            "block_volume", "V_b", "ft3", Text(en="flat block under the slope", es="bloque bajo la pendiente")
        ),
        Quantity("wash_volume", "V_w", "ft3", Text(en="sloped top (prismatoid)", es="parte con pendiente")),
        Quantity("opening_volume", "V_o", "ft3", Text(en="openings taken out", es="huecos que se quitan")),
        Quantity("volume", "V", "ft3", Text(en="concrete in the slab", es="concreto de la losa")),
        Quantity("weight", "w", "lb", Text(en="weight of the slab", es="peso de la losa")),
        Quantity(
            "slope_long", "s_L", "in/ft", Text(en="fall along the long axis", es="pendiente a lo largo")
        ),
        Quantity(
            "slope_short", "s_W", "in/ft", Text(en="fall along the short axis", es="pendiente a lo ancho")
        ),
    ),
    results=(
        "slab_length",
        "slab_width",
        "perimeter",
        "gross_area",
        "opening_area",
        "net_area",
        "crest_length",
        "crest_width",
        "wash_volume",
        "volume",
        "weight",
        "slope_long",
        "slope_short",
    ),
    sources=("geometry", "astm-c1283", "common-practice"),
    notes=(
        Text(
            en="With no flue, or as thick at the flue as at the edge, the top is flat and holds water: "
            "that is no good practice. ASTM C1283 asks for a fall of 10 degrees, 2.116 in per foot.",
            es="Sin tubo, o con el mismo espesor en el tubo que en la orilla, la corona es plana y guarda agua: no es "
            "buena práctica. ASTM C1283 pide 10 grados, 2.116 in por pie.",
        ),
        Text(
            en='A round tile is called by its inside, and its wall comes on top: "10 in dia" is taken as the '
            'outside, measured; "10 in ID" adds the published wall, which makes 11 3/4 in.',
            es='Un tubo redondo se nombra por dentro, y falta sumar su pared: "10 in diám" se toma como medida '
            'exterior; "10 in ID" suma la pared publicada, lo que hace 11 3/4 in.',
        ),
        Text(
            en="145 lb/ft³ is the usual weight of plain concrete, 150 lb/ft³ with steel in it (both from "
            "memory).",
            es="145 lb/ft³ es el peso usual del concreto simple, 150 lb/ft³ con varilla (los dos de memoria).",
        ),
    ),
    sample={
        "chimney_length": "40 1/2 in",
        "chimney_width": "24 in",
        "flue_thickness": "5 1/2 in",
        "flue": ("13 x 13 in",),
    },
    cautions=(cautions.HEAVY_SLAB, cautions.FALL),
)
def slab(v: Any) -> None:
    """A block `edge_thickness` deep under a prismatoid up to `flue_thickness`, the openings taken out.

    Prismatoid between the slab A×B and the crest C×D: h/6·(2AB + AD + BC + 2CD).
    Raises Refusal when the crest does not fit inside the chimney's outline or the top would slope inward.
    """
    check_flue_spacing(v)
    if v.flue_thickness < v.edge_thickness:
        raise Refusal(
            Text(
                en="the thickness at the flue, %(flue)g in, is under the one at the edge, %(edge)g in, so the top "
                "would drain to the flue; give at least the edge thickness.",
                es="el espesor en el tubo, %(flue)g in, es menor que el de la orilla, %(edge)g in, y el agua "
                "correría hacia el tubo; dé por lo menos el espesor de la orilla.",
            ),
            flue=float(plain(v.flue_thickness)),
            edge=float(plain(v.edge_thickness)),
        )
    v.slab_length = v.chimney_length + 2 * v.overhang
    v.slab_width = v.chimney_width + 2 * v.overhang
    v.perimeter = 2 * (v.slab_length + v.slab_width)
    v.gross_area = v.slab_length * v.slab_width / SQIN_PER_SQFT
    v.block_volume = v.gross_area * v.edge_thickness / IN_PER_FT
    if not v.flue:
        v.opening_area = v.crest_length = v.crest_width = v.wash_volume = v.slope_long = v.slope_short = 0.0
        v.net_area = v.gross_area - v.opening_area
        v.volume = v.block_volume + v.wash_volume
        v.weight = v.volume * v.density
        return
    v.opening_area = total(flue.opening_area(v.bond_gap) for flue in v.flue) / SQIN_PER_SQFT
    v.net_area = v.gross_area - v.opening_area
    along_length = v.chimney_length >= v.chimney_width
    v.crest_length, v.crest_width = crest_sides(v.flue, v.flue_spacing, v.bond_gap, along_length)
    if v.crest_length > v.chimney_length or v.crest_width > v.chimney_width:
        raise Refusal(
            Text(
                en="the flues with their gaps need %(crest)s and do not fit inside the chimney of %(chimney)s; "
                "check flue, flue_spacing and the chimney's sizes.",
                es="los tubos con sus holguras necesitan %(crest)s y no caben en la chimenea de %(chimney)s; "
                "revise flue, flue_spacing y las medidas de la chimenea.",
            ),
            crest=f"{float(plain(v.crest_length)):g} x {float(plain(v.crest_width)):g} in",
            chimney=f"{float(plain(v.chimney_length)):g} x {float(plain(v.chimney_width)):g} in",
        )
    along, across = (v.slab_length - v.crest_length) / 2, (v.slab_width - v.crest_width) / 2
    if along <= 0 or across <= 0:
        raise Refusal(
            Text(
                en="the opening with its gap reaches the edge of the slab and leaves no concrete beside it; "
                "check flue, bond_gap, overhang and the chimney's sizes.",
                es="el hueco con su holgura llega a la orilla de la losa y no deja concreto al lado; "
                "revise flue, bond_gap, overhang y las medidas de la chimenea.",
            )
        )
    v.rise = v.flue_thickness - v.edge_thickness
    v.wash_volume = (
        v.rise
        / 6
        * (
            2 * v.slab_length * v.slab_width
            + v.slab_length * v.crest_width
            + v.slab_width * v.crest_length
            + 2 * v.crest_length * v.crest_width
        )
        / CUIN_PER_CUFT
    )
    v.opening_volume = v.opening_area * v.flue_thickness / IN_PER_FT
    v.volume = v.block_volume + v.wash_volume - v.opening_volume
    v.weight = v.volume * v.density
    long_run, short_run = (along, across) if along_length else (across, along)
    v.slope_long = v.rise / long_run * IN_PER_FT
    v.slope_short = v.rise / short_run * IN_PER_FT


@calculation(
    "crown.slope",
    title=Text(en="Slope of a crown", es="Pendiente de una corona"),
    purpose=Text(
        en="Fall of a crown from its rise and run: inches per foot, angle and percent.",
        es="Pendiente de una corona por su subida y su avance: pulgadas por pie, ángulo y por ciento.",
    ),
    inputs=(
        Input(
            "rise", "h", "in", Text(en="rise from edge to flue", es="subida de la orilla al tubo"), high=48.0
        ),
        Input(
            "run",
            "r",
            "in",
            Text(en="level distance from edge to flue", es="distancia a nivel de la orilla al tubo"),
            low=0.5,
            high=240.0,
        ),
    ),
    quantities=(
        Quantity("ratio", "q", "", Text(en="rise over run", es="subida entre avance")),
        Quantity(
            "slope", "s", "in/ft", Text(en="fall for each foot of run", es="pendiente por pie de avance")
        ),
        Quantity("angle", "α", "degree", Text(en="angle of the top", es="ángulo de la superficie")),
        Quantity("percent", "p", "percent", Text(en="slope in percent", es="pendiente en por ciento")),
    ),
    results=("slope", "angle", "percent"),
    sources=("geometry", "astm-c1283"),
    sample={"rise": "3 in", "run": "13 1/2 in"},
)
def slope(v: Any) -> None:
    """Right triangle of the rise and the level run."""
    v.ratio = v.rise / v.run
    v.slope = v.ratio * IN_PER_FT
    v.angle = arctangent(v.ratio)
    v.percent = v.ratio * PERCENT
