"""The tape: rounding to its marks, adding lengths, dividing a length.

tape.round, tape.add, tape.divide
"""

from __future__ import annotations

from typing import Any, Final

from trainer.calc.algebra import round_off, total
from trainer.calc.spec import Input, Quantity, calculation
from trainer.languages import Text

LONGEST: Final = 12000.0  # in, 1,000 ft

LENGTH: Final = Text(en="length", es="largo")
MARK: Final = Input(
    "to",
    "m",
    "in",
    Text(en="mark of the tape to round to", es="marca de la cinta a la que se redondea"),
    default=1 / 16,
    low=1 / 64,
    high=12.0,
)


@calculation(
    "tape.round",
    title=Text(en="Rounding to the tape", es="Redondear a la cinta"),
    purpose=Text(
        en="The nearest mark of the tape, and how far it is from the length.",
        es="La marca más cercana de la cinta, y cuánto se aparta de la medida.",
    ),
    inputs=(Input("length", "L", "in", LENGTH, high=LONGEST), MARK),
    quantities=(
        Quantity(
            "marks", "n", "", Text(en="marks, to the nearest whole one", es="marcas, a la entera más cercana")
        ),
        Quantity("rounded", "R", "in", Text(en="length on the tape", es="largo en la cinta")),
        Quantity(
            "off_by",
            "e",
            "in",
            Text(en="over the length; under it when minus", es="de más; de menos si es negativo"),
        ),
    ),
    results=("rounded", "off_by"),
    sources=("arithmetic", "common-practice"),
    sample={"length": "40.3 in"},
)
def round_to(v: Any) -> None:
    """The nearest whole number of marks; a half goes up."""
    v.marks = round_off(v.length / v.to)
    v.rounded = v.marks * v.to
    v.off_by = v.rounded - v.length


@calculation(
    "tape.add",
    title=Text(en="Adding lengths", es="Sumar medidas"),
    purpose=Text(
        en="The sum of lengths; one with a minus is taken away.",
        es="La suma de varias medidas; la que lleva menos se resta.",
    ),
    inputs=(
        Input(
            "length",
            "L",
            "in",
            Text(
                en="length to add, or with a minus to take away",
                es="medida que se suma, o con menos se resta",
            ),
            low=-LONGEST,
            high=LONGEST,
            many=True,
        ),
    ),
    quantities=(Quantity("total", "S", "in", Text(en="sum", es="suma")),),
    results=("total",),
    sources=("arithmetic",),
    sample={"length": ("40 1/2 in", "-3 1/4 in", "1 5/16 in")},
)
def add(v: Any) -> None:
    """Sixteenths, and all binary fractions of an inch, are added without any rounding."""
    v.total = total(v.length)


@calculation(
    "tape.divide",
    title=Text(en="Dividing a length", es="Dividir una medida"),
    purpose=Text(
        en="Equal parts of a length, and how far marking the rounded part again and again runs out at the end.",
        es="Partes iguales de un largo, y cuánto se corre al final quien marca la parte redondeada una tras otra.",
    ),
    inputs=(
        Input("length", "L", "in", LENGTH, low=1 / 16, high=LONGEST),
        Input("parts", "n", "count", Text(en="equal parts", es="partes iguales"), low=1.0, high=1000.0),
        MARK,
    ),
    quantities=(
        Quantity("part", "p", "in", Text(en="one part", es="una parte")),
        Quantity("nearest", "p_m", "in", Text(en="one part on the tape", es="una parte en la cinta")),
        Quantity(
            "run_out",
            "e",
            "in",
            Text(
                en="the last mark past the end; short of it when minus",
                es="lo que se pasa la última marca; lo que falta si es negativo",
            ),
        ),
    ),
    results=("part", "nearest", "run_out"),
    sources=("arithmetic", "common-practice"),
    sample={"length": "44 1/2 in", "parts": "7"},
)
def divide(v: Any) -> None:
    """Marking from the start with the exact part, measured each time from the same end, runs out by nothing."""
    v.part = v.length / v.parts
    v.nearest = round_off(v.part / v.to) * v.to
    v.run_out = v.nearest * v.parts - v.length
