"""The joint round a flue: how much the hot tile grows and how wide the joint must be.

crown.movement
"""

from __future__ import annotations

from typing import Any

from trainer.calc import cautions
from trainer.calc.algebra import PERCENT, absolute
from trainer.calc.spec import Input, Quantity, calculation
from trainer.languages import Text


@calculation(
    "crown.movement",
    title=Text(en="Movement joint at a flue", es="Junta de movimiento en un tubo"),
    purpose=Text(
        en="How much a flue tile outgrows the crown when it warms, and the joint that lets it.",
        es="Cuánto crece un tubo más que la corona al calentarse, y la junta que se lo permite.",
    ),
    inputs=(
        Input(
            "dimension",
            "d",
            "in",
            Text(en="size of the flue in the direction looked at", es="medida del tubo en ese sentido"),
            low=1.0,
            high=240.0,
        ),
        Input(
            "temperature_rise",
            "T_f",
            "deltaF",
            Text(en="how much warmer the flue gets", es="cuánto se calienta el tubo"),
            high=2000.0,
        ),
        # BIA Technical Note 18, fired-clay brick of fireclay, from memory.
        Input(
            "flue_expansion",
            "e_f",
            "1/degF",
            Text(en="expansion of the clay flue", es="dilatación del tubo de arcilla"),
            default=2.5e-6,
            high=2e-5,
        ),
        Input(
            "crown_rise",
            "T_c",
            "deltaF",
            Text(en="how much warmer the crown gets", es="cuánto se calienta la corona"),
            default=0.0,
            high=500.0,
        ),
        Input(
            "crown_expansion",
            "e_c",
            "1/degF",
            Text(en="expansion of the concrete", es="dilatación del concreto"),
            default=5.5e-6,
            high=2e-5,
        ),
        Input(
            "joint_capability",
            "C",
            "percent",
            Text(
                en="movement the sealant takes, share of the joint",
                es="movimiento que admite el sellador, parte de la junta",
            ),
            default=25.0,
            low=1.0,
            high=100.0,
        ),
    ),
    quantities=(
        Quantity(
            "growth",
            "g",
            "in",
            Text(en="how much the flue outgrows the crown", es="lo que el tubo crece más que la corona"),
        ),
        Quantity("growth_each_side", "g_1", "in", Text(en="of that, each side", es="de eso, por lado")),
        Quantity("joint_width", "w", "in", Text(en="least joint width", es="ancho mínimo de la junta")),
    ),
    results=("growth", "growth_each_side", "joint_width"),
    sources=("bia-tn-18", "astm-c920", "masonry-handbook"),
    notes=(
        Text(
            en="The expansions are from memory: 2.5 millionths per °F for fireclay, 5.5 for concrete. A handbook "
            "prints 1.7 to 6.9 millionths for clay brick, so the growth can be more than twice as much.",
            es="Las dilataciones son de memoria: 2.5 millonésimas por °F la arcilla refractaria, 5.5 el "
            "concreto. Un manual da de 1.7 a 6.9 millonésimas para ladrillo, así que puede crecer más del "
            "doble.",
        ),
    ),
    sample={"dimension": "13 in", "temperature_rise": "400 F", "crown_rise": "40 F"},
    cautions=(cautions.HOT_FLUE,),
)
def movement(v: Any) -> None:
    """Free expansion of the tile less that of the concrete round it; a joint of ±C takes C of its width.

    A crown that outgrows its flue gives a negative growth; the joint is then pulled open by as much.
    """
    v.growth = v.dimension * (v.temperature_rise * v.flue_expansion - v.crown_rise * v.crown_expansion)
    v.growth_each_side = v.growth / 2
    v.joint_width = absolute(v.growth_each_side) / (v.joint_capability / PERCENT)
