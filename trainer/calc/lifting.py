"""Lifting by hand: the revised NIOSH lifting equation.

lift.limit
"""

from __future__ import annotations

from typing import Any, Final

from trainer.calc import cautions
from trainer.calc.algebra import Constant, alike, hundredths, plain
from trainer.calc.spec import Input, Quantity, Same, calculation
from trainer.errors import Refusal
from trainer.languages import Text

# NIOSH 94-110, pp. 7-12 and 18, US units.
LOAD_CONSTANT: Final = Constant(51.0, "lb")
NEAREST_REACH: Final = Constant(10.0, "in")
KNUCKLES: Final = Constant(30.0, "in")
PER_INCH: Final = Constant(0.0075, "1/in")
SHORTEST_TRAVEL: Final = Constant(10.0, "in")
TRAVEL_SHARE: Final = Constant(1.8, "in")
PER_DEGREE: Final = Constant(0.0032, "1/degree")
COUPLINGS: Final = {"good": (1.0, 1.0), "fair": (0.95, 1.0), "poor": (0.90, 0.90)}

# Table 5: lifts a minute, then the multiplier for up to 1, 2 and 8 h, each with the hands under 30 in and from 30 in up.
FREQUENCIES: Final = (
    (0.2, 1.00, 1.00, 0.95, 0.95, 0.85, 0.85),
    (0.5, 0.97, 0.97, 0.92, 0.92, 0.81, 0.81),
    (1.0, 0.94, 0.94, 0.88, 0.88, 0.75, 0.75),
    (2.0, 0.91, 0.91, 0.84, 0.84, 0.65, 0.65),
    (3.0, 0.88, 0.88, 0.79, 0.79, 0.55, 0.55),
    (4.0, 0.84, 0.84, 0.72, 0.72, 0.45, 0.45),
    (5.0, 0.80, 0.80, 0.60, 0.60, 0.35, 0.35),
    (6.0, 0.75, 0.75, 0.50, 0.50, 0.27, 0.27),
    (7.0, 0.70, 0.70, 0.42, 0.42, 0.22, 0.22),
    (8.0, 0.60, 0.60, 0.35, 0.35, 0.18, 0.18),
    (9.0, 0.52, 0.52, 0.30, 0.30, 0.00, 0.15),
    (10.0, 0.45, 0.45, 0.26, 0.26, 0.00, 0.13),
    (11.0, 0.41, 0.41, 0.00, 0.23, 0.00, 0.00),
    (12.0, 0.37, 0.37, 0.00, 0.21, 0.00, 0.00),
    (13.0, 0.00, 0.34, 0.00, 0.00, 0.00, 0.00),
    (14.0, 0.00, 0.31, 0.00, 0.00, 0.00, 0.00),
    (15.0, 0.00, 0.28, 0.00, 0.00, 0.00, 0.00),
)

FULL: Final = "full"
TWO_DECIMALS: Final = "two decimals"
# Table 1 prints these two a hundredth higher than 10/H rounds to.
PRINTED_HORIZONTAL: Final = {22.0: 0.46, 23.0: 0.44}

MULTIPLIERS: Final = ("horizontal", "vertical", "distance", "asymmetry", "frequency", "coupling")


def _multiplier(name: str, symbol: str, en: str, es: str) -> Quantity:
    return Quantity(f"{name}_multiplier", symbol, "", Text(en=en, es=es))


@calculation(
    "lift.limit",
    title=Text(en="Limit for lifting by hand", es="Límite para levantar a mano"),
    purpose=Text(
        en="Recommended weight limit for a two-handed lift, standing; it does not cover carrying, ladders or tight "
        "places.",
        es="Límite de peso recomendado para levantar de pie con las dos manos; no vale para acarrear, escaleras ni "
        "lugares estrechos.",
    ),
    inputs=(
        Input(
            "horizontal",
            "H",
            "in",
            Text(en="hands out from the middle of the ankles", es="de las manos al punto entre los tobillos"),
            high=25.0,
        ),
        Input("vertical", "V", "in", Text(en="hands above the floor", es="altura de las manos"), high=70.0),
        Input(
            "travel", "D", "in", Text(en="how far up or down it is moved", es="cuánto sube o baja"), high=70.0
        ),
        Input(
            "asymmetry",
            "A",
            "degree",
            Text(en="twist away from straight ahead", es="giro de la cintura desde el frente"),
            default=0.0,
            high=135.0,
        ),
        Input(
            "frequency",
            "F",
            "1/minute",
            Text(
                en="lifts a minute, averaged over 15 minutes", es="levantamientos por minuto, en 15 minutos"
            ),
            default=0.2,
            high=15.0,
        ),
        Input(
            "duration",
            "T",
            "hour",
            Text(
                en="time spent lifting, with the rest that goes with it: as long as the work up to 1 h, three tenths "
                "of it up to 2 h",
                es="tiempo levantando, con su descanso: igual al trabajo hasta 1 h, tres décimos hasta 2 h",
            ),
            default=1.0,
            high=8.0,
        ),
        Input(
            "coupling",
            "grip",
            "",
            Text(en="how well the hands hold it", es="qué tan bien se agarra"),
            default="poor",
            kind="choice",
            choices=tuple(COUPLINGS),
            words={
                "good": Text(en="good", es="bueno"),
                "fair": Text(en="fair", es="regular"),
                "poor": Text(en="poor", es="malo"),
            },
        ),
        Input("load", "L", "lb", Text(en="weight of the load", es="peso de la carga"), high=1000.0),
        Input(
            "vertical_origin",
            "V_o",
            "in",
            Text(
                en="hands above the floor where the lift begins, when V is where it ends",
                es="altura de las manos al empezar, cuando V es donde termina",
            ),
            default=Same("vertical"),
            high=70.0,
        ),
        Input(
            "precision",
            "places",
            "",
            Text(
                en="multipliers in full, or to two decimals as the published tables and examples have them",
                es="multiplicadores completos, o con dos decimales como en las tablas y ejemplos publicados",
            ),
            default=FULL,
            kind="choice",
            choices=(FULL, TWO_DECIMALS),
            words={
                FULL: Text(en=FULL, es="completos"),
                TWO_DECIMALS: Text(en=TWO_DECIMALS, es="dos decimales"),
            },
        ),
    ),
    quantities=(
        Quantity(
            "load_constant",
            "LC",
            "lb",
            Text(en="limit under the best conditions", es="límite en las mejores condiciones"),
        ),
        _multiplier("horizontal", "HM", "for reaching out", "por estirar los brazos"),
        _multiplier("vertical", "VM", "for hands away from 30 in", "por manos lejos de 30 in de alto"),
        _multiplier("distance", "DM", "for the way up or down", "por lo que sube o baja"),
        _multiplier("asymmetry", "AM", "for twisting", "por girar la cintura"),
        _multiplier("frequency", "FM", "for how often and how long", "por frecuencia y duración"),
        _multiplier("coupling", "CM", "for the grip", "por agarre"),
        Quantity(
            "recommended_limit",
            "RWL",
            "lb",
            Text(en="recommended weight limit", es="límite de peso recomendado"),
        ),
        Quantity(
            "lifting_index",
            "LI",
            "",
            Text(
                en="lifting index: load over limit, over 1 is too much",
                es="índice: carga entre límite; más de 1 es demasiado",
            ),
        ),
    ),
    results=(*(f"{name}_multiplier" for name in MULTIPLIERS), "recommended_limit", "lifting_index"),
    sources=("niosh-94-110",),
    notes=(
        Text(
            en="NIOSH: not for lifting with one hand, over 8 h, kneeling, in tight places, carrying, pushing, "
            "slippery footing, or outside 66 to 79 °F.",
            es="NIOSH: no vale con una mano, por más de 8 h, de rodillas, en lugares estrechos, para acarrear o "
            "empujar, con piso resbaloso, ni fuera de 66 a 79 °F.",
        ),
    ),
    sample={
        "horizontal": "18 in",
        "vertical": "15 in",
        "travel": "21 in",
        "asymmetry": "45",
        "coupling": "fair",
        "load": "40 lb",
    },
    cautions=(cautions.LIFTING,),
)
def limit(v: Any) -> None:
    """51 lb times six multipliers, each 1 at best.

    precision "full": every multiplier with all its decimals. "two decimals": each rounded to a hundredth before they
    are multiplied, 10/22 and 10/23 as Table 1 prints them; so the published examples come out to their 0.1 lb.
    Past 25 in out, 70 in up, 70 in of travel, 135 degrees or 15 lifts a minute the equation allows no load: those
    ranges are refused, and so is a frequency whose multiplier is 0.
    """
    v.load_constant = LOAD_CONSTANT
    v.horizontal_multiplier = _horizontal(v)
    away = v.vertical - KNUCKLES if v.vertical >= float(KNUCKLES) else KNUCKLES - v.vertical
    v.vertical_multiplier = _as_asked(v, 1 - PER_INCH * away)
    way = v.travel if v.travel > float(SHORTEST_TRAVEL) else alike(v.travel, SHORTEST_TRAVEL)
    v.distance_multiplier = _as_asked(v, 0.82 + TRAVEL_SHARE / way)
    v.asymmetry_multiplier = _as_asked(v, 1 - PER_DEGREE * v.asymmetry)
    v.frequency_multiplier = _frequency(v)
    low, high = COUPLINGS[v.coupling]
    v.coupling_multiplier = low if v.vertical < float(KNUCKLES) else high
    v.recommended_limit = (
        v.load_constant
        * v.horizontal_multiplier
        * v.vertical_multiplier
        * v.distance_multiplier
        * v.asymmetry_multiplier
        * v.frequency_multiplier
        * v.coupling_multiplier
    )
    v.lifting_index = v.load / v.recommended_limit


def _as_asked(v: Any, multiplier: Any) -> Any:
    return hundredths(multiplier) if v.precision == TWO_DECIMALS else multiplier


def _horizontal(v: Any) -> Any:
    if v.horizontal <= float(NEAREST_REACH):
        return 1.0
    if v.precision == TWO_DECIMALS and float(plain(v.horizontal)) in PRINTED_HORIZONTAL:
        return PRINTED_HORIZONTAL[float(plain(v.horizontal))]
    return _as_asked(v, NEAREST_REACH / v.horizontal)


def _frequency(v: Any) -> Any:
    """From Table 5 by the height at the origin, straight between its rows; Refusal where the table has 0."""
    hours, often = float(plain(v.duration)), float(plain(v.frequency))
    column = 1 + 2 * ((hours > 1) + (hours > 2)) + (float(plain(v.vertical_origin)) >= float(KNUCKLES))
    above = next(place for place, row in enumerate(FREQUENCIES) if often <= row[0] + 1e-12)
    upper = FREQUENCIES[above]
    if often < upper[0] - 1e-12 and above > 0:
        lower = FREQUENCIES[above - 1]
        drop = Constant((lower[column] - upper[column]) / (upper[0] - lower[0]), "minute")
        multiplier = _as_asked(v, lower[column] - (v.frequency - Constant(lower[0], "1/minute")) * drop)
    else:
        multiplier = upper[column]
    if plain(multiplier) <= 0:
        raise Refusal(
            Text(
                en="frequency %(often)g a minute for %(hours)g h leaves no load to lift; give fewer lifts or less time.",
                es="frequency %(often)g por minuto durante %(hours)g h no deja carga que levantar; dé menos "
                "levantamientos o menos tiempo.",
            ),
            often=often,
            hours=hours,
        )
    return multiplier
