"""The slips of units: what a mix-up of units multiplies the right answer by, for each unit a question may ask in."""

from __future__ import annotations

import math
from typing import Final

from trainer.languages import Text


def _unit_slip(id: str, factor: float, en: str, es: str) -> tuple[str, float, Text]:
    return id, factor, Text(en=en, es=es)


UNIT_SLIPS: Final[dict[str, tuple[tuple[str, float, Text], ...]]] = {
    "in": (
        _unit_slip(
            "feet-for-inches",
            1 / 12,
            "That is the length in feet. The question asks for inches.",
            "Esa es la medida en pies. La pregunta pide pulgadas.",
        ),
        _unit_slip(
            "inches-times-12",
            12.0,
            "You multiplied by 12, but the length was in inches already.",
            "Multiplicó por 12, pero la medida ya estaba en pulgadas.",
        ),
        _unit_slip(
            "millimeters-for-inches",
            25.4,
            "That is the length in millimeters. The question asks for inches.",
            "Esa es la medida en milímetros. La pregunta pide pulgadas.",
        ),
        _unit_slip(
            "centimeters-for-inches",
            2.54,
            "That is the length in centimeters. The question asks for inches.",
            "Esa es la medida en centímetros. La pregunta pide pulgadas.",
        ),
    ),
    "ft": (
        _unit_slip(
            "inches-for-feet",
            12.0,
            "That is the length in inches. The question asks for feet.",
            "Esa es la medida en pulgadas. La pregunta pide pies.",
        ),
        _unit_slip(
            "divided-by-12-twice",
            1 / 12,
            "You divided by 12 once too often: the length was in feet already.",
            "Dividió entre 12 una vez de más: la medida ya estaba en pies.",
        ),
        _unit_slip(
            "meters-for-feet",
            0.3048,
            "That is the length in meters. The question asks for feet.",
            "Esa es la medida en metros. La pregunta pide pies.",
        ),
    ),
    "in2": (
        _unit_slip(
            "square-feet-for-square-inches",
            1 / 144,
            "That is the area in square feet. The question asks for square inches.",
            "Esa es el área en pies cuadrados. La pregunta pide pulgadas cuadradas.",
        ),
    ),
    "ft2": (
        _unit_slip(
            "square-inches-for-square-feet",
            144.0,
            "That is the area in square inches. A square foot holds 144 of them.",
            "Esa es el área en pulgadas cuadradas. Un pie cuadrado tiene 144.",
        ),
        _unit_slip(
            "divided-by-12-once",
            12.0,
            "You divided square inches by 12. A square foot is 12 by 12, so divide by 144.",
            "Dividió las pulgadas cuadradas entre 12. Un pie cuadrado mide 12 por 12: divida entre 144.",
        ),
        _unit_slip(
            "square-yards-for-square-feet",
            1 / 9,
            "That is the area in square yards. The question asks for square feet.",
            "Esa es el área en yardas cuadradas. La pregunta pide pies cuadrados.",
        ),
    ),
    "in3": (
        _unit_slip(
            "cubic-feet-for-cubic-inches",
            1 / 1728,
            "That is the volume in cubic feet. The question asks for cubic inches.",
            "Ese es el volumen en pies cúbicos. La pregunta pide pulgadas cúbicas.",
        ),
    ),
    "ft3": (
        _unit_slip(
            "cubic-inches-for-cubic-feet",
            1728.0,
            "That is the volume in cubic inches. A cubic foot holds 1728 of them.",
            "Ese es el volumen en pulgadas cúbicas. Un pie cúbico tiene 1728.",
        ),
        _unit_slip(
            "cubic-yards-for-cubic-feet",
            1 / 27,
            "That is the volume in cubic yards. The question asks for cubic feet.",
            "Ese es el volumen en yardas cúbicas. La pregunta pide pies cúbicos.",
        ),
        _unit_slip(
            "thickness-in-inches",
            12.0,
            "You left the thickness in inches. Turn every size into feet before you multiply.",
            "Dejó el espesor en pulgadas. Pase todas las medidas a pies antes de multiplicar.",
        ),
    ),
    "yd3": (
        _unit_slip(
            "cubic-feet-for-cubic-yards",
            27.0,
            "That is the volume in cubic feet. Divide by 27 for cubic yards.",
            "Ese es el volumen en pies cúbicos. Divida entre 27 para tener yardas cúbicas.",
        ),
        _unit_slip(
            "divided-by-9",
            3.0,
            "You divided cubic feet by 9. A cubic yard is 3 by 3 by 3, so divide by 27.",
            "Dividió los pies cúbicos entre 9. Una yarda cúbica mide 3 por 3 por 3: divida entre 27.",
        ),
    ),
    "lb": (
        _unit_slip(
            "kilograms-for-pounds",
            0.45359237,
            "That is the weight in kilograms. The question asks for pounds.",
            "Ese es el peso en kilogramos. La pregunta pide libras.",
        ),
        _unit_slip(
            "tons-for-pounds",
            1 / 2000,
            "That is the weight in tons. The question asks for pounds.",
            "Ese es el peso en toneladas. La pregunta pide libras.",
        ),
    ),
    "gal": (
        _unit_slip(
            "quarts-for-gallons",
            4.0,
            "That is the amount in quarts. The question asks for gallons.",
            "Esa es la cantidad en cuartos de galón. La pregunta pide galones.",
        ),
        _unit_slip(
            "pints-for-gallons",
            8.0,
            "That is the amount in pints. The question asks for gallons.",
            "Esa es la cantidad en pintas. La pregunta pide galones.",
        ),
    ),
    "in/ft": (
        _unit_slip(
            "fall-per-inch",
            1 / 12,
            "That is the fall for one inch of run. The question asks for one foot.",
            "Esa es la bajada por pulgada de recorrido. La pregunta pide por pie.",
        ),
    ),
    "percent": (
        _unit_slip(
            "fraction-for-percent",
            1 / 100,
            "That is the fraction. Multiply by 100 for percent.",
            "Esa es la fracción. Multiplique por 100 para tener el porcentaje.",
        ),
    ),
    "degree": (
        _unit_slip(
            "radians-for-degrees",
            math.pi / 180,
            "That is the angle in radians. The question asks for degrees.",
            "Ese es el ángulo en radianes. La pregunta pide grados.",
        ),
    ),
    "day": (
        _unit_slip(
            "hours-for-days",
            24.0,
            "That is the time in hours. The question asks for days.",
            "Ese es el tiempo en horas. La pregunta pide días.",
        ),
        _unit_slip(
            "weeks-for-days",
            1 / 7,
            "That is the time in weeks. The question asks for days.",
            "Ese es el tiempo en semanas. La pregunta pide días.",
        ),
    ),
}

# A round flue: what the sizes of its circle are multiplied by before the core runs again.
RADIUS: Final = (
    (
        "diameter-for-radius",
        2.0,
        Text(
            en="You took the flue's diameter for its radius.",
            es="Tomó el diámetro del tubo como si fuera el radio.",
        ),
    ),
    (
        "radius-for-diameter",
        0.5,
        Text(
            en="You took the flue's radius for its diameter.",
            es="Tomó el radio del tubo como si fuera el diámetro.",
        ),
    ),
)
