"""Concrete mixed on site: what goes into a batch, and the buckets that carry it.

concrete.batch, concrete.buckets
"""

from __future__ import annotations

from typing import Any, Final

from trainer.calc import cautions
from trainer.calc.algebra import PERCENT, Constant, least, plain, round_up
from trainer.calc.entries import Entry, Part
from trainer.calc.spec import Input, Quantity, Shop, calculation
from trainer.errors import Refusal
from trainer.languages import Text

WATER: Final = Constant(62.4, "lb/ft3")
SACK: Final = Constant(94.0, "lb")
GAL_PER_CUFT: Final = Constant(1728.0 / 231.0, "gal/ft3")


def _loose(name: str, symbol: str, en: str, es: str, default: float) -> Input:
    return Input(name, symbol, "lb/ft3", Text(en=en, es=es), default=default, low=40.0, high=200.0)


def _gravity(name: str, symbol: str, en: str, es: str, default: float) -> Input:
    return Input(name, symbol, "", Text(en=en, es=es), default=default, low=1.5, high=4.0)


def _weight(name: str, symbol: str, en: str, es: str) -> Quantity:
    return Quantity(name, symbol, "lb", Text(en=en, es=es))


@calculation(
    "concrete.batch",
    title=Text(en="Concrete batch", es="Tanda de concreto"),
    purpose=Text(
        en="Cement, sand, stone and water for a volume of concrete, from parts by loose volume.",
        es="Cemento, arena, grava y agua para un volumen de concreto, según partes por volumen suelto.",
    ),
    inputs=(
        Input(
            "volume",
            "V",
            "ft3",
            Text(en="concrete to make", es="concreto que se hace"),
            low=0.01,
            high=2700.0,
        ),
        Input(
            "parts",
            "p",
            "",
            Text(
                en="parts of cement, sand and stone, loose volume",
                es="partes de cemento, arena y grava, sueltas",
            ),
            default=Entry(cement=1.0, sand=2.0, stone=3.0),
            kind="ratio",
            example="1:2:3",
            # A part is taken as a cubic foot: one part of cement is one 94 lb bag.
            parts=(
                Part("cement", "p_c", "ft3", low=0.1, high=20.0),
                Part("sand", "p_s", "ft3", low=0.0, high=20.0),
                Part("stone", "p_g", "ft3", low=0.0, high=20.0),
            ),
        ),
        Input(
            "water_cement",
            "w_c",
            "",
            Text(en="water-cement ratio, by weight", es="relación agua-cemento, por peso"),
            default=0.45,
            low=0.25,
            high=1.0,
        ),
        _loose("cement_density", "D_c", "loose cement", "cemento suelto", 94.0),
        _loose("sand_density", "D_s", "loose dry sand", "arena suelta y seca", 100.0),
        _loose("stone_density", "D_g", "loose dry stone", "grava suelta y seca", 100.0),
        _gravity(
            "cement_gravity", "G_c", "specific gravity of cement", "densidad relativa del cemento", 3.15
        ),
        _gravity("sand_gravity", "G_s", "specific gravity of sand", "densidad relativa de la arena", 2.65),
        _gravity("stone_gravity", "G_g", "specific gravity of stone", "densidad relativa de la grava", 2.65),
        Input(
            "air",
            "a",
            "percent",
            Text(en="air in the concrete", es="aire en el concreto"),
            default=6.0,
            high=15.0,
        ),
    ),
    quantities=(
        _weight(
            "round_cement", "c_1", "cement in one round of the parts", "cemento en una vuelta de las partes"
        ),
        _weight("round_sand", "s_1", "sand in one round", "arena en una vuelta"),
        _weight("round_stone", "g_1", "stone in one round", "grava en una vuelta"),
        _weight("round_water", "q_1", "water in one round", "agua en una vuelta"),
        Quantity("solid", "V_s", "ft3", Text(en="what these fill without air", es="lo que llenan sin aire")),
        Quantity(
            "round_volume", "V_1", "ft3", Text(en="concrete from one round", es="concreto de una vuelta")
        ),
        Quantity("rounds", "n", "", Text(en="rounds for the volume", es="vueltas para el volumen")),
        _weight("cement", "C", "cement", "cemento"),
        _weight("sand", "S", "sand, dry", "arena, seca"),
        _weight("stone", "G", "stone, dry", "grava, seca"),
        _weight(
            "water",
            "Q",
            "water, with what wets the sand and stone",
            "agua, con la que moja la arena y la grava",
        ),
        Quantity(
            "cement_bags_exact",
            "n_b",
            "count",
            Text(en="94 lb bags of cement before rounding", es="sacos de cemento de 94 lb, sin redondear"),
        ),
        Quantity(
            "cement_bags",
            "N_b",
            "count",
            Text(en="94 lb bags of cement", es="sacos de cemento de 94 lb"),
            rounds="cement_bags_exact",
        ),
        Quantity(
            "fresh_density",
            "D",
            "lb/ft3",
            Text(en="weight of the fresh concrete", es="peso del concreto fresco"),
        ),
    ),
    results=("cement", "sand", "stone", "water", "cement_bags", "fresh_density"),
    sources=("aci-211", "common-practice"),
    notes=(
        Text(
            en="For 1:2 1/2:5 a carpentry book of about 1910 prints 4 to 14 % more cement, sand and stone than "
            "this makes with a water-cement ratio of 0.45 to 0.60 and no air: its materials were lighter. Try "
            "one small batch first.",
            es="Para 1:2 1/2:5 un libro de carpintería de hacia 1910 da de 4 a 14 % más cemento, arena y grava "
            "que esta cuenta, con relación agua-cemento de 0.45 a 0.60 y sin aire: sus materiales eran más "
            "ligeros. Haga primero una tanda chica.",
        ),
        Text(
            en="1:2:3, 0.45, 6 % of air and the loose weights are usual figures without a source. For a crown "
            "buy bagged concrete made for freezing and thawing.",
            es="1:2:3, 0.45, 6 % de aire y los pesos sueltos son cifras usuales, sin fuente. Para una corona "
            "compre concreto en saco hecho para congelación y deshielo.",
        ),
    ),
    sample={"volume": "2.63 ft3"},
    cautions=(cautions.WET_CEMENT,),
)
def batch(v: Any) -> None:
    """Absolute volumes: each weight over its specific gravity and 62.4 lb/ft³, the sum over 1 − air."""
    v.round_cement = v.parts.cement * v.cement_density
    v.round_sand = v.parts.sand * v.sand_density
    v.round_stone = v.parts.stone * v.stone_density
    v.round_water = v.water_cement * v.round_cement
    v.solid = (
        v.round_cement / v.cement_gravity
        + v.round_sand / v.sand_gravity
        + v.round_stone / v.stone_gravity
        + v.round_water
    ) / WATER
    v.round_volume = v.solid / (1 - v.air / PERCENT)
    v.rounds = v.volume / v.round_volume
    v.cement = v.rounds * v.round_cement
    v.sand = v.rounds * v.round_sand
    v.stone = v.rounds * v.round_stone
    v.water = v.rounds * v.round_water
    v.cement_bags_exact = v.cement / SACK
    v.cement_bags = round_up(v.cement_bags_exact)
    v.fresh_density = (v.cement + v.sand + v.stone + v.water) / v.volume


@calculation(
    "concrete.buckets",
    title=Text(en="Buckets and trips", es="Cubetas y viajes"),
    purpose=Text(
        en="How full a bucket may be for one person, what it then weighs and how many trips that makes.",
        es="Hasta dónde se llena una cubeta para una persona, cuánto pesa así y cuántos viajes salen.",
    ),
    inputs=(
        Input(
            "volume",
            "V",
            "ft3",
            Text(en="concrete to carry", es="concreto que se sube"),
            low=0.01,
            high=2700.0,
        ),
        Input(
            "density",
            "D",
            "lb/ft3",
            Text(en="weight of the fresh concrete", es="peso del concreto fresco"),
            default=145.0,
            low=20.0,
            high=200.0,
        ),
        Input(
            "carry_limit",
            "w_m",
            "lb",
            Text(en="most one person carries", es="lo más que carga una persona"),
            default=Shop("carry_limit"),
            low=5.0,
            high=200.0,
        ),
        Input(
            "bucket_volume",
            "q_b",
            "gal",
            Text(en="what the bucket holds", es="lo que cabe en la cubeta"),
            default=5.0,
            low=0.5,
            high=20.0,
        ),
        Input(
            "bucket_weight",
            "w_b",
            "lb",
            Text(en="weight of the empty bucket", es="peso de la cubeta vacía"),
            default=2.0,
            high=50.0,
        ),
    ),
    quantities=(
        Quantity(
            "carry_fill",
            "q_m",
            "gal",
            Text(en="concrete up to the carrying limit", es="concreto hasta el límite"),
        ),
        Quantity("fill", "q", "gal", Text(en="concrete in each bucket", es="concreto en cada cubeta")),
        Quantity("load", "w", "lb", Text(en="weight of the full bucket", es="peso de la cubeta llena")),
        Quantity("trips_exact", "n", "count", Text(en="trips before rounding", es="viajes sin redondear")),
        Quantity("trips", "N", "count", Text(en="trips", es="viajes"), rounds="trips_exact"),
    ),
    results=("fill", "load", "trips"),
    sources=("common-practice", "niosh-94-110"),
    notes=(
        Text(
            en="The limit is the shop's own. NIOSH's 51 lb is for a lift with both hands under the best "
            "conditions; nothing is carried in the hands on a ladder: use a rope or a hoist.",
            es="El límite es del taller. Las 51 lb de NIOSH son para levantar con las dos manos en las mejores "
            "condiciones; en la escalera no se lleva nada en las manos: use cuerda o malacate.",
        ),
    ),
    sample={"volume": "2.63 ft3"},
    cautions=(cautions.FALL, cautions.LIFTING),
)
def buckets(v: Any) -> None:
    """The bucket is filled to its brim or to the carrying limit, whichever comes first.

    Raises Refusal when the empty bucket alone reaches the limit.
    """
    if v.bucket_weight >= v.carry_limit:
        raise Refusal(
            Text(
                en="bucket_weight %(bucket)g lb leaves nothing of carry_limit %(limit)g lb to carry; "
                "give a lighter bucket or a higher limit.",
                es="bucket_weight %(bucket)g lb no deja nada de carry_limit %(limit)g lb para cargar; "
                "dé una cubeta más ligera o un límite mayor.",
            ),
            bucket=float(plain(v.bucket_weight)),
            limit=float(plain(v.carry_limit)),
        )
    v.carry_fill = (v.carry_limit - v.bucket_weight) / v.density * GAL_PER_CUFT
    v.fill = least(v.bucket_volume, v.carry_fill)
    v.load = v.fill / GAL_PER_CUFT * v.density + v.bucket_weight
    v.trips_exact = v.volume * GAL_PER_CUFT / v.fill
    v.trips = round_up(v.trips_exact)
