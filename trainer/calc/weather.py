"""Concrete and the weather: warmth it has had, and water it loses to heat and wind.

concrete.maturity, concrete.evaporation
"""

from __future__ import annotations

from typing import Any, Final

from trainer.calc import cautions
from trainer.calc.algebra import PERCENT, Constant, at_least, greatest, total
from trainer.calc.entries import Part
from trainer.calc.spec import Input, Quantity, calculation
from trainer.languages import Text

F_PER_C: Final = Constant(1.8, "degF/degC")
REFERENCE: Final = Constant(68.0, "degF")  # 20 °C
HOURS_PER_DAY: Final = Constant(24.0, "hour/day")
NO_RISE: Final = Constant(0.0, "deltaF")
HOURS_IN_A_YEAR: Final = 24.0 * 365

# The single equation fitted to the ACI 305 chart (ACI Materials Journal 95(4), 1998), form in °F and mph: memory.
EVAPORATION: Final = Constant(1e-6, "=pound / foot ** 2 / hour / delta_degree_Fahrenheit ** 2.5")
PER_MPH: Final = Constant(0.4, "1/mph")
NO_LOSS: Final = Constant(0.0, "lb/ft2/h")
POWER: Final = 2.5
LIMIT: Final = Constant(0.2, "lb/ft2/h")  # ACI 305R


@calculation(
    "concrete.maturity",
    title=Text(en="Maturity", es="Madurez del concreto"),
    purpose=Text(
        en="Warmth that concrete has had since the pour, and the age at 20 °C (68 °F) that comes to the same.",
        es="Calor que ha tenido el concreto desde el colado, y la edad a 20 °C (68 °F) que equivale.",
    ),
    inputs=(
        Input(
            "reading",
            "r",
            "degF",
            Text(en="time at a temperature of the concrete", es="tiempo a una temperatura del concreto"),
            kind="at",
            many=True,
            example="6 h @ 55 F",
            parts=(
                Part("time", "t", "hour", high=HOURS_IN_A_YEAR),
                Part("temperature", "T", "degF", low=-40.0, high=200.0),
            ),
        ),
        # ASTM C1074: 0 °C for type I cement without admixtures; older practice -10 or -11 °C. From memory.
        Input(
            "datum",
            "T_0",
            "degF",
            Text(en="temperature at which it gains nothing", es="temperatura a la que no gana nada"),
            default=32.0,
            low=-10.0,
            high=50.0,
        ),
    ),
    quantities=(
        Quantity("maturity", "M", "degC h", Text(en="maturity", es="madurez")),
        Quantity(
            "equivalent_age",
            "t_e",
            "day",
            Text(en="age at 20 °C that comes to the same", es="edad a 20 °C que equivale"),
        ),
    ),
    results=("maturity", "equivalent_age"),
    sources=("astm-c1074",),
    notes=(
        Text(
            en="The datum changes the answer a lot. 32 °F (0 °C) is for type I cement without admixtures; older "
            "practice takes 14 or 12.2 °F (−10 or −11 °C). All from memory.",
            es="La temperatura base cambia mucho la respuesta. 32 °F (0 °C) es para cemento tipo I sin aditivos; "
            "antes se tomaba 14 o 12.2 °F (−10 o −11 °C). Todo de memoria.",
        ),
    ),
    sample={"reading": ("6 h @ 55 F", "12 h @ 40 F", "6 h @ 48 F")},
)
def maturity(v: Any) -> None:
    """Nurse-Saul: the sum of (T − T0)·t, a reading under the datum adding nothing."""
    v.maturity = total(one.time * greatest(one.temperature - v.datum, NO_RISE) / F_PER_C for one in v.reading)
    v.equivalent_age = v.maturity / ((REFERENCE - v.datum) / F_PER_C) / HOURS_PER_DAY


@calculation(
    "concrete.evaporation",
    title=Text(en="Evaporation", es="Evaporación"),
    purpose=Text(
        en="Water that fresh concrete loses to warm air and wind, and whether to shade, fog or cover it.",
        es="Agua que el concreto fresco pierde por calor y viento, y si hay que darle sombra, rociarlo o taparlo.",
    ),
    inputs=(
        Input(
            "air_temperature",
            "T_a",
            "degF",
            Text(en="air temperature", es="temperatura del aire"),
            high=130.0,
        ),
        Input(
            "concrete_temperature",
            "T_c",
            "degF",
            Text(en="temperature of the concrete", es="temperatura del concreto"),
            low=32.0,
            high=120.0,
        ),
        Input("humidity", "R", "percent", Text(en="relative humidity", es="humedad relativa"), high=100.0),
        Input(
            "wind",
            "V",
            "mph",
            Text(en="wind about 20 in above the concrete", es="viento a unas 20 in sobre el concreto"),
            high=60.0,
        ),
    ),
    quantities=(
        Quantity("rate", "E", "lb/ft2/h", Text(en="water lost", es="agua que se pierde")),
        Quantity(
            "precautions",
            "E ok",
            "",
            Text(en="0.2 lb/ft² an hour or more: protect it", es="0.2 lb/ft² por hora o más: protéjalo"),
            kind="flag",
        ),
    ),
    results=("rate", "precautions"),
    sources=("aci-95-m34", "aci-305"),
    notes=(
        Text(
            en="The chart behind this comes from lakes, and the real loss can differ by about 40 %: it is a "
            "guide to the risk.",
            es="La gráfica de donde sale viene de lagos, y la pérdida real puede variar 40 %: es una guía del "
            "riesgo.",
        ),
    ),
    sample={"air_temperature": "80 F", "concrete_temperature": "87 F", "humidity": "50 %", "wind": "12 mph"},
    cautions=(cautions.WET_CEMENT,),
)
def evaporation(v: Any) -> None:
    """(Tc^2.5 − r·Ta^2.5)(1 + 0.4·V)·10⁻⁶, never under zero.

    The chart behind it comes from lakes; the real loss can differ by about 40 %, so it is a guide to risk.
    """
    drive = v.concrete_temperature**POWER - v.humidity / PERCENT * v.air_temperature**POWER
    v.rate = greatest(drive * (1 + PER_MPH * v.wind) * EVAPORATION, NO_LOSS)
    v.precautions = at_least(v.rate, LIMIT)
