"""Flue tiles above the crown.

flue.cut
"""

from __future__ import annotations

from typing import Any

from trainer.calc import cautions
from trainer.calc.algebra import plain
from trainer.calc.spec import Input, Quantity, Shop, calculation
from trainer.errors import Refusal
from trainer.languages import Text


@calculation(
    "flue.cut",
    title=Text(en="Cutting or extending a flue", es="Cortar o alargar un tubo"),
    purpose=Text(
        en="How far a flue will stand above the new crown, and what to cut off or add.",
        es="Cuánto sobresaldrá el tubo de la corona nueva, y cuánto hay que cortar o añadir.",
    ),
    inputs=(
        Input(
            "flue_above_wall",
            "F",
            "in",
            Text(en="flue top above the wall's top bed", es="tubo sobre la última hilada"),
            low=0.0,
            high=120.0,
        ),
        Input(
            "base_thickness",
            "b",
            "in",
            Text(en="board under the crown", es="tabla bajo la corona"),
            default=0.5,
            high=6.0,
        ),
        Input(
            "flue_thickness",
            "T",
            "in",
            Text(en="crown thickness at the flue", es="espesor de la corona junto al tubo"),
            default=Shop("edge_thickness"),
            low=1.0,
            high=24.0,
        ),
        Input(
            "projection",
            "p",
            "in",
            Text(
                en="height the flue shall stand above the crown", es="altura deseada del tubo sobre la corona"
            ),
            default=Shop("projection"),
            high=24.0,
        ),
        Input(
            "max_projection",
            "p_m",
            "in",
            Text(en="greatest height that may stay uncut", es="altura máxima que se queda sin cortar"),
            default=Shop("max_projection"),
            high=24.0,
        ),
    ),
    quantities=(
        Quantity(
            "projection_now",
            "p_0",
            "in",
            Text(en="flue above the new crown as it stands", es="tubo sobre la corona nueva, como está"),
        ),
        Quantity("cut_down", "k", "in", Text(en="to cut off", es="se corta")),
        Quantity("extension", "e", "in", Text(en="to add", es="se añade")),
    ),
    results=("projection_now", "cut_down", "extension"),
    sources=("common-practice", "astm-c1283", "fb1889"),
    notes=(
        Text(
            en="1/2 in for the board under the crown is our own figure without a source. Cutting clay makes "
            "silica dust: water or a shroud, and the respirator that dust.shroud tells.",
            es="1/2 in para la tabla bajo la corona es cifra nuestra, sin fuente. Cortar barro suelta polvo de "
            "sílice: agua o cubierta colectora, y el respirador que dice dust.shroud.",
        ),
    ),
    sample={"flue_above_wall": "14 1/4 in"},
    cautions=(cautions.SILICA, cautions.FLUE_GAS),
)
def cut(v: Any) -> None:
    """A flue between the wanted and the greatest height stays; a taller one is cut to the wanted height, a lower
    one is extended to it. A negative `projection_now` means that the crown would cover the flue.

    Raises Refusal when the greatest height is under the wanted one.
    """
    if v.max_projection < v.projection:
        raise Refusal(
            Text(
                en="max_projection %(most)g in is under projection %(wanted)g in; give at least projection.",
                es="max_projection %(most)g in es menor que projection %(wanted)g in; dé por lo menos projection.",
            ),
            most=float(plain(v.max_projection)),
            wanted=float(plain(v.projection)),
        )
    v.projection_now = v.flue_above_wall - v.base_thickness - v.flue_thickness
    v.cut_down = v.projection_now - v.projection if v.projection_now > v.max_projection else 0.0
    v.extension = v.projection - v.projection_now if v.projection_now < v.projection else 0.0
