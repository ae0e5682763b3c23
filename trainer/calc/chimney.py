"""What the code asks of a chimney: its height above the roof and the flue for its fireplace.

chimney.height, flue.fireplace
"""

from __future__ import annotations

from typing import Any, Final

from trainer.calc import cautions
from trainer.calc.algebra import IN_PER_FT, Constant, at_least, greatest, least, plain
from trainer.calc.spec import Input, Quantity, calculation
from trainer.errors import Refusal
from trainer.languages import Text

# IRC R1003.9 (wording from memory; the same numbers stand in city ordinances): 3 ft above where the chimney leaves
# the roof, and 2 ft above whatever of the building lies within 10 ft.
ABOVE_ROOF: Final = Constant(36.0, "in")
ABOVE_NEARBY: Final = Constant(24.0, "in")
NEARBY: Final = Constant(10.0, "ft")
THREE: Final = "3 ft"
TWO_IN_TEN: Final = "2 ft in 10 ft"

# IRC R1003.15.1: part of the fireplace opening; and the least area that goes with it in city ordinances [in²].
SHARES: Final = {"round": (12.0, 50.0), "under 2:1": (10.0, 64.0), "2:1 or more": (8.0, 64.0)}
LONG_RATIO: Final = 2.0


@calculation(
    "chimney.height",
    title=Text(en="Height of a chimney above the roof", es="Altura de la chimenea sobre el techo"),
    purpose=Text(
        en="Least height above the roof: 3 ft where it passes through, and 2 ft above the building within 10 ft.",
        es="Altura mínima sobre el techo: 3 ft donde lo atraviesa, y 2 ft sobre el edificio a menos de 10 ft.",
    ),
    inputs=(
        Input(
            "pitch",
            "r",
            "in/ft",
            Text(en="roof pitch, rise in 12 inches of run", es="pendiente del techo, subida en 12 de avance"),
            high=48.0,
        ),
        Input(
            "ridge_distance",
            "d",
            "ft",
            Text(
                en="level distance from the chimney's near face to the ridge",
                es="distancia a nivel de la cara cercana de la chimenea a la cumbrera",
            ),
            high=200.0,
        ),
        Input(
            "roof_at_chimney",
            "z",
            "ft",
            Text(
                en="height of the roof where the chimney passes through, at the highest point",
                es="altura del techo donde lo atraviesa la chimenea, en el punto más alto",
            ),
            default=0.0,
            high=200.0,
        ),
    ),
    quantities=(
        Quantity(
            "reach",
            "d_n",
            "ft",
            Text(
                en="how far up the roof counts: to the ridge, 10 ft at most",
                es="hasta dónde cuenta el techo: hasta la cumbrera, 10 ft como máximo",
            ),
        ),
        Quantity(
            "roof_rise", "y", "in", Text(en="rise of the roof up to there", es="subida del techo hasta ahí")
        ),
        Quantity("over_nearby", "h_2", "in", Text(en="2 ft above that point", es="2 ft sobre ese punto")),
        Quantity(
            "height_above_penetration",
            "h",
            "in",
            Text(
                en="least height above the roof where the chimney passes through, and never under 3 ft",
                es="altura mínima sobre el techo donde pasa la chimenea, nunca menos de 3 ft",
            ),
        ),
        Quantity(
            "governs",
            "rule",
            "",
            Text(en="rule that governs", es="regla que manda"),
            kind="text",
            words={TWO_IN_TEN: Text(en=TWO_IN_TEN, es="2 ft en 10 ft")},
        ),
        Quantity(
            "top_height",
            "z_t",
            "ft",
            Text(
                en="height of the chimney top, from the same level", es="altura de la punta, del mismo nivel"
            ),
        ),
    ),
    results=("height_above_penetration", "governs", "top_height"),
    sources=("irc-r1003", "il-local", "fb1889"),
    notes=(
        Text(
            en="A dormer or a higher part of the building within 10 ft counts as well and is not known here: "
            "measure up to it. The code's wording is from memory; the adopted code governs.",
            es="Un dormer o una parte más alta a menos de 10 ft también cuenta y aquí no se conoce: mida hasta "
            "ella. El texto del código es de memoria; manda el código local.",
        ),
    ),
    sample={"pitch": "6 in 12", "ridge_distance": "8 ft 3 in"},
    cautions=(cautions.FALL,),
)
def height(v: Any) -> None:
    """The roof climbs to the ridge and falls beyond it, so its highest part within 10 ft is the ridge or the point
    10 ft up the slope. Dormers and other higher parts within 10 ft are not known here: measure to them.
    """
    v.reach = least(v.ridge_distance, NEARBY)
    v.roof_rise = v.pitch * v.reach
    v.over_nearby = v.roof_rise + ABOVE_NEARBY
    v.height_above_penetration = greatest(v.over_nearby, ABOVE_ROOF)
    v.governs = TWO_IN_TEN if v.over_nearby > plain(ABOVE_ROOF) else THREE
    v.top_height = v.roof_at_chimney + v.height_above_penetration / IN_PER_FT


@calculation(
    "flue.fireplace",
    title=Text(en="Flue for a fireplace", es="Conducto para un hogar"),
    purpose=Text(
        en="Net flue area that a fireplace opening needs; the adopted code governs.",
        es="Área neta de conducto que necesita la boca de un hogar; manda el código local.",
    ),
    inputs=(
        Input(
            "opening_width",
            "w",
            "in",
            Text(en="fireplace opening, width", es="boca del hogar, ancho"),
            low=6.0,
            high=144.0,
        ),
        Input(
            "opening_height",
            "h",
            "in",
            Text(en="fireplace opening, height", es="boca del hogar, alto"),
            low=6.0,
            high=144.0,
        ),
        Input(
            "shape",
            "shape",
            "",
            Text(en="shape of the flue", es="forma del conducto"),
            kind="choice",
            choices=("round", "square", "rectangular"),
            words={
                "round": Text(en="round", es="redondo"),
                "square": Text(en="square", es="cuadrado"),
                "rectangular": Text(en="rectangular", es="rectangular"),
            },
        ),
        Input(
            "area",
            "A",
            "in2",
            Text(en="net area of the flue", es="área neta del conducto"),
            low=1.0,
            high=2000.0,
        ),
        Input(
            "aspect_ratio",
            "q",
            "",
            Text(
                en="long side over short side, for a rectangular flue",
                es="lado largo entre lado corto, si el conducto es rectangular",
            ),
            default=None,
            low=1.0,
            high=10.0,
        ),
    ),
    quantities=(
        Quantity("opening_area", "A_o", "in2", Text(en="fireplace opening", es="boca del hogar")),
        Quantity(
            "share_area", "A_s", "in2", Text(en="its share for this shape", es="su parte para esta forma")
        ),
        Quantity(
            "required_area",
            "A_r",
            "in2",
            Text(
                en="net area needed, and never under the least that ordinances set",
                es="área neta necesaria, nunca menos del mínimo de las ordenanzas",
            ),
        ),
        Quantity(
            "adequate", "ok", "", Text(en="the flue is large enough", es="el conducto alcanza"), kind="flag"
        ),
    ),
    results=("required_area", "adequate"),
    sources=("irc-r1003", "il-local", "fb1889"),
    notes=(
        Text(
            en="The share of 1/8 from 2:1 on is from memory, and so is the code's table of net areas that goes "
            "with it. A 1941 bulletin takes 1/10 for chimneys under 22 ft. The adopted code governs.",
            es="La parte de 1/8 desde 2:1 es de memoria, igual que la tabla de áreas netas del código. Un "
            "boletín de 1941 toma 1/10 si la chimenea mide menos de 22 ft. Manda el código local.",
        ),
    ),
    sample={"opening_width": "36 in", "opening_height": "28 1/2 in", "shape": "round", "area": "90 in2"},
    cautions=(cautions.FLUE_GAS,),
)
def fireplace(v: Any) -> None:
    """1/12 of the opening for a round flue, 1/10 under 2:1, 1/8 at 2:1 or more (the 1/8 from memory).

    Least areas: 50 in² round and 64 in² square as a city ordinance has them; 64 in² for a rectangular one too. Raises Refusal when a rectangular flue comes
    without its aspect_ratio.
    """
    if v.shape == "rectangular" and v.aspect_ratio is None:
        raise Refusal(
            Text(
                en="aspect_ratio is missing; give the rectangular flue's long side over its short side, 1 to 10.",
                es="Falta aspect_ratio; dé el lado largo entre el lado corto del conducto, de 1 a 10.",
            )
        )
    slender = v.shape == "rectangular" and v.aspect_ratio >= LONG_RATIO
    part, minimum = SHARES["round" if v.shape == "round" else "2:1 or more" if slender else "under 2:1"]
    v.opening_area = v.opening_width * v.opening_height
    v.share_area = v.opening_area / part
    v.required_area = greatest(v.share_area, Constant(minimum, "in2"))
    v.adequate = at_least(v.area, v.required_area)
