"""Concrete: how many bags and how much water.

concrete.bags
"""

from __future__ import annotations

from typing import Any, Final, NamedTuple

from trainer.calc import cautions
from trainer.calc.algebra import PERCENT, Constant, round_up
from trainer.calc.spec import Input, Quantity, Shop, calculation
from trainer.languages import Text


class Bag(NamedTuple):
    """One size of pre-mixed bag: weight [lb], yield [ft³], least and most water [gal]."""

    weight: Constant
    volume: Constant
    water_low: Constant
    water_high: Constant


def _bag(weight: float, volume: float, pints_low: float, pints_high: float) -> Bag:
    return Bag(
        Constant(weight, "lb"),
        Constant(volume, "ft3"),
        Constant(pints_low / 8, "gal"),
        Constant(pints_high / 8, "gal"),
    )


# Yields: 40, 50, 60 and 80 lb as printed for pre-mixed bags; 90 lb is printed as 0.67 to 0.68, here 80 lb's share; 94 lb
# is that share too. Water: 60 lb 4 to 7 pints, 80 lb 6 to 9 pints; the others are the 80 lb bag's share. The label governs.
BAGS: Final = {
    "40 lb": _bag(40, 0.30, 3.0, 4.5),
    "50 lb": _bag(50, 0.375, 3.75, 5.625),
    "60 lb": _bag(60, 0.45, 4.0, 7.0),
    "80 lb": _bag(80, 0.60, 6.0, 9.0),
    "90 lb": _bag(90, 0.675, 6.75, 10.125),
    "94 lb": _bag(94, 0.705, 7.05, 10.575),
}


@calculation(
    "concrete.bags",
    title=Text(en="Bags of concrete", es="Sacos de concreto"),
    purpose=Text(
        en="Bags to bring, their weight, what is left over and the water to have ready.",
        es="Sacos que hay que llevar, su peso, lo que sobra y el agua que se prepara.",
    ),
    inputs=(
        Input(
            "volume",
            "V",
            "ft3",
            Text(en="concrete in the form", es="concreto en la cimbra"),
            low=0.01,
            high=2700.0,
        ),
        Input(
            "waste",
            "m",
            "percent",
            Text(en="allowance for waste", es="desperdicio"),
            default=Shop("waste"),
            high=100.0,
        ),
        Input(
            "bag",
            "bag",
            "",
            Text(en="size of the pre-mixed bag", es="medida del saco premezclado"),
            default="80 lb",
            kind="choice",
            choices=tuple(BAGS),
        ),
        Input(
            "yield",
            "y_l",
            "ft3",
            Text(
                en="yield printed on the bag, when it differs",
                es="rendimiento impreso en el saco, si es otro",
            ),
            default=None,
            low=0.05,
            high=2.0,
        ),
    ),
    quantities=(
        Quantity("volume_needed", "V_n", "ft3", Text(en="concrete to mix", es="concreto que se mezcla")),
        Quantity("bag_yield", "y", "ft3", Text(en="yield of one bag", es="rendimiento de un saco")),
        Quantity("bags_exact", "n", "count", Text(en="bags before rounding", es="sacos sin redondear")),
        Quantity("bags", "N", "count", Text(en="bags", es="sacos"), rounds="bags_exact"),
        Quantity("one_bag", "w_1", "lb", Text(en="weight of one bag", es="peso de un saco")),
        Quantity("bag_weight", "w", "lb", Text(en="weight of all the bags", es="peso de todos los sacos")),
        Quantity("left_over", "V_l", "ft3", Text(en="concrete left over", es="concreto que sobra")),
        Quantity(
            "bag_water_low", "q_1", "gal", Text(en="least water for one bag", es="agua mínima de un saco")
        ),
        Quantity(
            "water_low", "Q_1", "gal", Text(en="least water, all bags", es="agua mínima, todos los sacos")
        ),
        Quantity(
            "bag_water_high", "q_2", "gal", Text(en="most water for one bag", es="agua máxima de un saco")
        ),
        Quantity(
            "water_high", "Q_2", "gal", Text(en="most water, all bags", es="agua máxima, todos los sacos")
        ),
    ),
    results=("volume_needed", "bags", "bag_weight", "left_over", "water_low", "water_high"),
    sources=("bag-label", "navy-aid"),
    notes=(
        Text(
            en="The label on the bag governs. For 90 lb, lists print 0.67, 0.676 and 0.68 ft³; here it is in "
            "proportion to the 80 lb bag, 0.675 ft³. Water for sizes other than 60 and 80 lb is in proportion "
            "too.",
            es="Manda la etiqueta del saco. Para 90 lb las listas dan 0.67, 0.676 y 0.68 ft³; aquí va en "
            "proporción con el de 80 lb, 0.675 ft³. El agua de medidas que no son 60 u 80 lb también va en "
            "proporción.",
        ),
        Text(
            en="94 lb is also the weight of a sack of plain portland cement, which is not concrete: here it "
            "means a 94 lb bag of ready mix, by proportion.",
            es="94 lb es también el peso del saco de cemento portland solo, que no es concreto: aquí es un saco "
            "de 94 lb de mezcla lista, en proporción.",
        ),
    ),
    sample={"volume": "2.63 ft3"},
    cautions=(cautions.WET_CEMENT, cautions.LIFTING),
)
def bags(v: Any) -> None:
    """Volume with its waste over the yield of one bag, rounded up; the label on the bag governs."""
    bag = BAGS[v.bag]
    label_yield = getattr(v, "yield")
    v.volume_needed = v.volume * (1 + v.waste / PERCENT)
    v.bag_yield = bag.volume if label_yield is None else label_yield
    v.bags_exact = v.volume_needed / v.bag_yield
    v.bags = round_up(v.bags_exact)
    v.one_bag = bag.weight
    v.bag_weight = v.bags * v.one_bag
    v.left_over = v.bags * v.bag_yield - v.volume_needed
    v.bag_water_low = bag.water_low
    v.water_low = v.bags * v.bag_water_low
    v.bag_water_high = bag.water_high
    v.water_high = v.bags * v.bag_water_high
