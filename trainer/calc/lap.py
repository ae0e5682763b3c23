"""One bar: its size, and how far it must run past another.

rebar.bar, rebar.lap
"""

from __future__ import annotations

from typing import Any, Final

from trainer.calc import cautions
from trainer.calc.algebra import Constant, greatest, square_root
from trainer.calc.bend import STRENGTH
from trainer.calc.rebar import BAR, BARS
from trainer.calc.spec import Input, Quantity, calculation
from trainer.languages import Text

# ACI 318-19 25.4.2.3 and 25.5.2.1, #6 and smaller, uncoated bottom bars with usual spacing and cover, from memory.
DIVISOR: Final = Constant(25.0, "=psi ** 0.5")
PSI_PER_KSI: Final = Constant(1000.0, "psi/ksi")
CLASS_B: Final = 1.3
LEAST: Final = Constant(12.0, "in")


@calculation(
    "rebar.bar",
    title=Text(en="Bar size", es="Medida de varilla"),
    purpose=Text(
        en="Diameter, area and weight of a deformed bar; the number counts eighths of an inch.",
        es="Diámetro, área y peso de una varilla corrugada; el número son los octavos de pulgada.",
    ),
    inputs=(BAR,),
    quantities=(
        Quantity("diameter", "d", "in", Text(en="bar diameter", es="diámetro de la varilla")),
        Quantity("area", "A", "in2", Text(en="area of the bar", es="área de la varilla")),
        Quantity(
            "weight_per_length",
            "w",
            "lb/ft",
            Text(en="weight of a foot of bar", es="peso por pie de varilla"),
        ),
    ),
    results=("diameter", "area", "weight_per_length"),
    sources=("astm-a615",),
)
def bar_size(v: Any) -> None:
    """The row of the bar table."""
    bar = BARS[v.bar]
    v.diameter = bar.diameter
    v.area = bar.area
    v.weight_per_length = bar.weight


@calculation(
    "rebar.lap",
    title=Text(en="Lap splice", es="Traslape"),
    purpose=Text(
        en="How far a bar must run in the concrete to hold, and how far two bars lap.",
        es="Cuánto debe entrar una varilla en el concreto para agarrar, y cuánto se traslapan dos.",
    ),
    inputs=(
        BAR,
        STRENGTH,
        Input(
            "yield_strength",
            "f_y",
            "ksi",
            Text(en="yield strength of the steel (grade)", es="fluencia del acero (grado)"),
            default=60.0,
            low=40.0,
            high=60.0,
        ),
    ),
    quantities=(
        Quantity("bar_diameter", "d", "in", Text(en="bar diameter", es="diámetro de la varilla")),
        Quantity(
            "development_exact",
            "l_1",
            "in",
            Text(
                en="development length before the 12 in least",
                es="longitud de desarrollo antes del mínimo de 12 in",
            ),
        ),
        Quantity(
            "development_length",
            "l_d",
            "in",
            Text(en="development length, 12 in at least", es="longitud de desarrollo, 12 in por lo menos"),
        ),
        Quantity(
            "lap_length",
            "l_s",
            "in",
            Text(en="class B lap, 12 in at least", es="traslape clase B, 12 in por lo menos"),
        ),
    ),
    results=("development_length", "lap_length"),
    sources=("aci-318-splices", "astm-a615"),
    notes=(
        Text(
            en="4,000 psi and 60 ksi are taken when none is given: take them from the bag and the bar's mark. "
            "The short formula is from memory and holds for #6 and smaller, uncoated, low in the slab and "
            "with the usual cover and spacing.",
            es="4,000 psi y 60 ksi se toman si no se dan otros: tómelos del saco y de la marca de la varilla. La "
            "fórmula corta es de memoria y vale para #6 y menores, sin recubrimiento epóxico, abajo en la "
            "losa y con recubrimiento y separación usuales.",
        ),
    ),
    sample={"bar": "#4", "strength": "3,000 psi"},
    cautions=(cautions.STRUCTURE,),
)
def lap(v: Any) -> None:
    """fy/(25·√f'c)·d, and 1.3 times that for a class B lap; neither under 12 in."""
    v.bar_diameter = BARS[v.bar].diameter
    v.development_exact = (
        v.yield_strength * PSI_PER_KSI / (DIVISOR * square_root(v.strength)) * v.bar_diameter
    )
    v.development_length = greatest(v.development_exact, LEAST)
    v.lap_length = greatest(CLASS_B * v.development_exact, LEAST)
