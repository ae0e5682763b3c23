"""Clay flue tiles: the cut, the opening, the weight.

flue.cutline, flue.area, flue.weight
"""

from __future__ import annotations

from typing import Any, Final

from trainer.calc import cautions
from trainer.calc.algebra import CUIN_PER_CUFT, PI, Constant, at_least, plain
from trainer.calc.openings import Flue
from trainer.calc.spec import Input, Quantity, calculation
from trainer.calc.tiles import published_wall
from trainer.errors import Refusal
from trainer.languages import Text

OUTSIDE: Final = Input(
    "outside",
    "f",
    "in",
    Text(en="flue tile, outside size", es="tubo de arcilla, medida exterior"),
    low=2.0,
    high=48.0,
    kind="flue",
)
WALL: Final = Text(en="wall of the tile", es="pared del tubo")
WALL_OF_TABLE: Final = Input(
    "wall_thickness",
    "t_g",
    "in",
    Text(
        en="wall of the tile as measured; left out, the published wall of that size",
        es="pared del tubo, medida; si no se da, la publicada para esa medida",
    ),
    default=None,
    low=0.25,
    high=4.0,
)
SQUARE_CORNERS: Final = Text(
    en="geometry with square corners: not the code's net area, nor the usable area, which are smaller",
    es="geometría con esquinas vivas: no es el área neta del código ni el área útil, que son menores",
)
CIRCLE: Final = Text(
    en="circle: geometry, which for a round flue is also the code's net area",
    es="círculo: geometría, que en un tubo redondo también es el área neta del código",
)


def wall_of(flue: Flue, given: Any) -> Any:
    """The wall as measured, else the published one; Refusal when neither is known or it leaves no opening."""
    if given is None:
        wall = published_wall(flue.shape, float(plain(flue.length)), float(plain(flue.width)))
        if wall is None:
            raise Refusal(
                Text(
                    en="no published wall is held for %(size)s; measure it and give 0.25 to 4 in.",
                    es="no hay una pared publicada para %(size)s; mídala y dé de 0.25 a 4 in.",
                ),
                size=named(flue),
            )
        return Constant(wall, "in")
    check_wall(flue, given)
    return given


def check_wall(flue: Flue, wall: Any) -> None:
    """Refusal when two walls fill the tile."""
    narrow = min(float(plain(flue.length)), float(plain(flue.width)))
    if 2 * float(plain(wall)) >= narrow:
        raise Refusal(
            Text(
                en="wall_thickness %(wall)g in leaves no opening in %(size)s; give under half the narrow side, "
                "%(half)g in.",
                es="wall_thickness %(wall)g in no deja hueco en %(size)s; dé menos de la mitad del lado angosto, "
                "%(half)g in.",
            ),
            wall=float(plain(wall)),
            size=named(flue),
            half=narrow / 2,
        )


def named(flue: Flue) -> str:
    """The size in plain numbers, whatever the board holds."""
    return str(Flue(flue.shape, float(plain(flue.length)), float(plain(flue.width))))


@calculation(
    "flue.cutline",
    title=Text(en="Cut line round a flue tile", es="Línea de corte del tubo"),
    purpose=Text(
        en="How much to saw to take a flue tile down, and whether the blade reaches through its wall from outside.",
        es="Cuánto hay que cortar para bajar un tubo, y si el disco atraviesa la pared desde afuera.",
    ),
    inputs=(
        OUTSIDE,
        Input("wall_thickness", "t", "in", WALL, low=0.25, high=4.0),
        Input("cut_down", "k", "in", Text(en="height to cut off", es="altura que se corta"), high=120.0),
        Input(
            "blade_diameter",
            "d_b",
            "in",
            Text(en="blade diameter", es="diámetro del disco"),
            low=2.0,
            high=24.0,
        ),
        Input(
            "flange_diameter",
            "d_f",
            "in",
            Text(
                en="diameter of the flange that holds the blade",
                es="diámetro de la brida que sujeta el disco",
            ),
            low=0.5,
            high=12.0,
        ),
    ),
    quantities=(
        Quantity(
            "perimeter", "P", "in", Text(en="round the tile on the line", es="vuelta del tubo por la línea")
        ),
        Quantity(
            "corner_cuts",
            "c",
            "in",
            Text(
                en="four cuts down the corners to the line",
                es="cuatro cortes por las esquinas hasta la línea",
            ),
        ),
        Quantity("cut_length", "l", "in", Text(en="length to saw", es="largo que se corta")),
        Quantity(
            "blade_reach", "r", "in", Text(en="blade showing past the flange", es="disco libre de la brida")
        ),
        Quantity(
            "reaches_through",
            "ok",
            "",
            Text(en="the blade reaches through the wall", es="el disco atraviesa la pared"),
            kind="flag",
        ),
    ),
    results=("cut_length", "blade_reach", "reaches_through"),
    sources=("geometry", "common-practice", "osha-1926-1153"),
    notes=(
        Text(
            en="Cutting clay makes silica dust: water or a shroud, and the respirator that dust.shroud tells. A "
            "blade that does not reach through from outside is never forced.",
            es="Cortar barro suelta polvo de sílice: agua o cubierta colectora, y el respirador que dice "
            "dust.shroud. Si el disco no atraviesa desde afuera, nunca se fuerza.",
        ),
    ),
    sample={
        "outside": "13 x 13 in",
        "wall_thickness": "7/8 in",
        "cut_down": "5 1/4 in",
        "blade_diameter": "7 in",
        "flange_diameter": "2 in",
    },
    cautions=(cautions.SILICA, cautions.FLUE_GAS),
)
def cutline(v: Any) -> None:
    """Once round on the line and four cuts down to it, so that the piece comes off in four pieces.

    A round tile gets its four cuts a quarter turn apart. Nothing to cut off means nothing to saw.
    Raises Refusal when the flange is not smaller than the blade or the wall fills the tile.
    """
    check_wall(v.outside, v.wall_thickness)
    if v.flange_diameter >= v.blade_diameter:
        raise Refusal(
            Text(
                en="flange_diameter %(flange)g in leaves nothing of the blade; give under blade_diameter, %(blade)g in.",
                es="flange_diameter %(flange)g in no deja libre nada del disco; dé menos que blade_diameter, "
                "%(blade)g in.",
            ),
            flange=float(plain(v.flange_diameter)),
            blade=float(plain(v.blade_diameter)),
        )
    if v.cut_down > 0:
        round_tile = v.outside.shape == "round"
        v.perimeter = PI * v.outside.length if round_tile else 2 * (v.outside.length + v.outside.width)
        v.corner_cuts = 4 * v.cut_down
        v.cut_length = v.perimeter + v.corner_cuts
    else:
        v.cut_length = 0.0
    v.blade_reach = (v.blade_diameter - v.flange_diameter) / 2
    v.reaches_through = at_least(v.blade_reach, v.wall_thickness)


@calculation(
    "flue.area",
    title=Text(en="Opening of a flue", es="Área del conducto"),
    purpose=Text(
        en="Area inside a flue tile, and which of the three areas in use it is.",
        es="Área por dentro de un tubo, y cuál de las tres áreas que se usan es.",
    ),
    inputs=(
        Input(
            "inside",
            "f_i",
            "in",
            Text(en="inside size, as measured", es="medida interior, tomada en el tubo"),
            default=None,
            low=2.0,
            high=48.0,
            kind="flue",
            measured="inside",
        ),
        Input(
            "nominal",
            "f",
            "in",
            Text(
                en="size the tile is called by: outside if rectangular, inside if round",
                es="medida con que se nombra el tubo: exterior si es rectangular, interior si es redondo",
            ),
            default=None,
            low=2.0,
            high=48.0,
            kind="flue",
            measured="name",
        ),
        WALL_OF_TABLE,
    ),
    quantities=(
        Quantity("wall", "t", "in", WALL),
        Quantity("inside_length", "a", "in", Text(en="inside, long side", es="interior, lado largo")),
        Quantity("inside_width", "b", "in", Text(en="inside, short side", es="interior, lado corto")),
        Quantity("area", "A", "in2", Text(en="area inside", es="área interior")),
        Quantity(
            "aspect_ratio", "q", "", Text(en="long side over short side", es="lado largo entre lado corto")
        ),
        Quantity("area_kind", "kind", "", Text(en="which area this is", es="cuál área es"), kind="text"),
    ),
    results=("area", "aspect_ratio", "area_kind"),
    sources=("geometry", "fb1889", "flue-sizes-1995"),
    notes=(
        Text(
            en="One tile has three areas: 8 1/2 x 13 in makes 80.5 in² with square corners, 74 in² net in the "
            "code's table (from memory) and 70 in² usable for draft in a web table. The adopted code's table "
            "governs.",
            es="Un tubo tiene tres áreas: el de 8 1/2 x 13 in da 80.5 in² con esquinas vivas, 74 in² netas en la "
            "tabla del código (de memoria) y 70 in² útiles para el tiro en una tabla de internet. Manda la "
            "tabla del código local.",
        ),
    ),
    sample={"nominal": "8 1/2 x 13 in"},
    cautions=(cautions.FLUE_GAS,),
)
def area(v: Any) -> None:
    """Inside length by inside width with square corners, or a circle.

    A rectangular tile is named by its greatest outside size, a round one by its inside diameter; the wall of a named
    size is that of Farmers' Bulletin 1889, Table 2. Real corners are rounded: the adopted code's table of net areas
    governs a rectangular flue, and it is not held here.
    Raises Refusal unless exactly one of `inside` and `nominal` is given.
    """
    if (v.inside is None) == (v.nominal is None):
        raise Refusal(
            Text(
                en='give either inside or nominal, one of the two, such as nominal "13 x 13 in" or inside "10 in dia".',
                es='dé inside o nominal, uno de los dos, por ejemplo nominal "13 x 13 in" o inside "10 in diám".',
            )
        )
    flue = v.nominal if v.inside is None else v.inside
    swapped = flue.length < flue.width
    long_side, short_side = (flue.width, flue.length) if swapped else (flue.length, flue.width)
    if flue.shape == "rectangular" and v.inside is None:
        v.wall = wall_of(flue, v.wall_thickness)
        v.inside_length = long_side - 2 * v.wall
        v.inside_width = short_side - 2 * v.wall
    else:
        v.inside_length = long_side
        v.inside_width = short_side
    v.area = PI * v.inside_length**2 / 4 if flue.shape == "round" else v.inside_length * v.inside_width
    v.aspect_ratio = v.inside_length / v.inside_width
    v.area_kind = CIRCLE if flue.shape == "round" else SQUARE_CORNERS


@calculation(
    "flue.weight",
    title=Text(en="Weight of a flue tile", es="Peso de un tubo de arcilla"),
    purpose=Text(
        en="Weight of a clay tile with square corners at the size it is called by; a real one is some pounds lighter.",
        es="Peso de un tubo con esquinas vivas y la medida con que se nombra; el real pesa unas libras menos.",
    ),
    inputs=(
        OUTSIDE,
        WALL_OF_TABLE,
        Input(
            "length",
            "L",
            "in",
            Text(en="length of the tile", es="largo del tubo"),
            default=24.0,
            low=1.0,
            high=120.0,
        ),
        Input(
            "density",
            "D",
            "lb/ft3",
            Text(en="density of fired clay", es="densidad del barro cocido"),
            default=140.0,
            low=80.0,
            high=200.0,
        ),
    ),
    quantities=(
        Quantity("wall", "t", "in", WALL),
        Quantity("outer_area", "A_o", "in2", Text(en="outside section", es="sección por fuera")),
        Quantity("inner_area", "A_i", "in2", Text(en="opening", es="hueco")),
        Quantity("volume", "V", "ft3", Text(en="clay in the tile", es="barro del tubo")),
        Quantity("weight", "w", "lb", Text(en="weight of the tile", es="peso del tubo")),
    ),
    results=("volume", "weight"),
    sources=("geometry", "common-practice", "fb1889"),
    notes=(
        Text(
            en="A 13 x 13 in tile 24 in long comes to 82.5 lb here, 2.5 lb over the 60 to 80 lb of common "
            "practice: it is taken with square corners at the size it is called by. One measured at 12 3/4 in "
            "with a 7/8 in wall makes 80.8 lb; corners rounded by 1 1/2 in outside and 5/8 in inside (no "
            "source) bring it to 77.7 lb.",
            es="Un tubo de 13 x 13 in y 24 in de largo da aquí 82.5 lb, 2.5 lb más que las 60 a 80 lb de la "
            "práctica común: se toma con esquinas vivas y la medida con que se nombra. Uno que mide 12 3/4 in "
            "con pared de 7/8 in da 80.8 lb; con esquinas redondeadas 1 1/2 in por fuera y 5/8 in por dentro "
            "(sin fuente) queda en 77.7 lb.",
        ),
        Text(
            en="140 lb/ft³ for fired clay is our own figure without a source.",
            es="140 lb/ft³ para el barro cocido es cifra nuestra, sin fuente.",
        ),
    ),
    sample={"outside": "13 x 13 in"},
    cautions=(cautions.LIFTING,),
)
def weight(v: Any) -> None:
    """The ring between outside and opening, times its length and density. Lengths of 2 ft: Farmers' Bulletin 1889."""
    v.wall = wall_of(v.outside, v.wall_thickness)
    length, width = v.outside.length, v.outside.width
    if v.outside.shape == "round":
        v.outer_area = PI * length**2 / 4
        v.inner_area = PI * (length - 2 * v.wall) ** 2 / 4
    else:
        v.outer_area = length * width
        v.inner_area = (length - 2 * v.wall) * (width - 2 * v.wall)
    v.volume = (v.outer_area - v.inner_area) * v.length / CUIN_PER_CUFT
    v.weight = v.volume * v.density
