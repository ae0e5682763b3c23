"""Why the overhang wants steel: the crown's edge as a cantilever.

crown.bend
"""

from __future__ import annotations

from typing import Any, Final

from trainer.calc import cautions
from trainer.calc.algebra import IN_PER_FT, SQIN_PER_SQFT, Constant, as_force, square_root
from trainer.calc.spec import Input, Quantity, Shop, calculation
from trainer.languages import Text

# ACI 318-19 19.2.3.1, normal-weight concrete, from memory.
RUPTURE: Final = Constant(7.5, "=psi ** 0.5")

STRENGTH = Input(
    "strength",
    "f_c",
    "psi",
    Text(en="28-day strength of the concrete (f'c)", es="resistencia del concreto a 28 días (f'c)"),
    default=4000.0,
    low=2000.0,
    high=10000.0,
)


@calculation(
    "crown.bend",
    title=Text(en="Bending of the overhang", es="Flexión del saliente"),
    purpose=Text(
        en="Bending at the wall from the overhang and a load on its edge, against what plain concrete takes.",
        es="Flexión junto a la pared por el saliente y una carga en la orilla, contra lo que aguanta el concreto "
        "sin varilla.",
    ),
    inputs=(
        Input(
            "overhang",
            "o",
            "in",
            Text(en="overhang past the wall", es="saliente más allá de la pared"),
            default=Shop("overhang"),
            high=24.0,
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
            "density",
            "D",
            "lb/ft3",
            Text(en="density of the concrete", es="densidad del concreto"),
            default=145.0,
            low=60.0,
            high=200.0,
        ),
        Input(
            "edge_load",
            "P",
            "lb/ft",
            Text(
                en="load on the edge, per foot of it: a ladder, a plank, a foot",
                es="carga en la orilla, por pie de ella: escalera, tablón, un pie",
            ),
            default=0.0,
            high=2000.0,
        ),
        STRENGTH,
    ),
    quantities=(
        Quantity(
            "strip_weight",
            "w",
            "lb/ft",
            Text(en="weight of the overhang per foot of edge", es="peso del saliente por pie de orilla"),
        ),
        Quantity(
            "moment",
            "M",
            "in lb/ft",
            Text(
                en="bending moment at the wall per foot of edge",
                es="momento junto a la pared por pie de orilla",
            ),
        ),
        Quantity(
            "section_modulus",
            "S",
            "in3/ft",
            Text(en="section modulus of a strip 12 in wide", es="módulo de sección de una franja de 12 in"),
        ),
        Quantity(
            "stress", "f", "psi", Text(en="pull in the top of the concrete", es="jalón en la cara de arriba")
        ),
        Quantity(
            "rupture",
            "f_r",
            "psi",
            Text(
                en="pull at which plain concrete breaks", es="jalón con que se rompe el concreto sin varilla"
            ),
        ),
        Quantity(
            "ratio", "r", "", Text(en="share of the breaking pull in use", es="parte de ese jalón que se usa")
        ),
    ),
    results=("moment", "stress", "rupture", "ratio"),
    sources=("beam-tables", "aci-318-rupture"),
    notes=(
        Text(
            en="4,000 psi is our own figure, taken when no strength is given: take it from the bag or the "
            "ticket. This shows why the overhang wants steel; what else the crown carries is for a licensed "
            "engineer.",
            es="4,000 psi es cifra nuestra, si no se da otra: tómela del saco o de la nota. Esto muestra por qué "
            "el saliente quiere varilla; lo demás que cargue la corona toca a un ingeniero con licencia.",
        ),
    ),
    sample={"edge_load": "300 lb/ft"},
    cautions=(cautions.STRUCTURE,),
)
def bend(v: Any) -> None:
    """Cantilever per foot of edge, the slab taken flat at its edge thickness; M over b·t²/6 with b = 12 in."""
    v.strip_weight = v.density * v.edge_thickness * v.overhang / SQIN_PER_SQFT
    v.moment = as_force(v.strip_weight * v.overhang / 2 + v.edge_load * v.overhang)
    v.section_modulus = IN_PER_FT * v.edge_thickness**2 / 6
    v.stress = v.moment / v.section_modulus
    v.rupture = RUPTURE * square_root(v.strength)
    v.ratio = v.stress / v.rupture
