"""Noise over a shift.

noise.dose
"""

from __future__ import annotations

from typing import Any, Final

from trainer.calc import cautions
from trainer.calc.algebra import PERCENT, Constant, logarithm, total
from trainer.calc.entries import Part
from trainer.calc.shift import check_day
from trainer.calc.spec import Input, Quantity, calculation
from trainer.errors import Refusal
from trainer.languages import Text

# 29 CFR 1910.95 (from memory): 8 h at 90 dBA is 100 percent, every 5 dBA more halves the time; levels from 80 dBA count.
REFERENCE_LEVEL: Final = Constant(90.0, "dBA")
HALVING: Final = Constant(5.0, "dBA")
REFERENCE_TIME: Final = Constant(8.0, "hour")
QUIETEST: Final = 80.0
# Appendix A writes the average with 16.61, which is 5 ÷ log 2.
PER_TENFOLD: Final = Constant(16.61, "dBA")


@calculation(
    "noise.dose",
    title=Text(en="Noise dose", es="Dosis de ruido"),
    purpose=Text(
        en="Noise dose of a shift and its eight-hour average; general industry protects hearing from 50 percent (85 dBA).",
        es="Dosis de ruido de un turno y su promedio de ocho horas; la industria general protege el oído desde 50 por "
        "ciento (85 dBA).",
    ),
    inputs=(
        Input(
            "sample",
            "s",
            "dBA",
            Text(
                en="time and sound level in it; under 80 dBA does not count",
                es="tiempo y nivel de ruido en él; menos de 80 dBA no cuenta",
            ),
            kind="at",
            parts=(Part("time", "t", "hour", 0.0, 24.0), Part("level", "L", "dBA", 0.0, 140.0)),
            example="2 h @ 97 dBA",
            many=True,
        ),
    ),
    quantities=(
        Quantity(
            "equal_time",
            "E",
            "hour",
            Text(en="time at 90 dBA that makes the same dose", es="tiempo a 90 dBA que hace la misma dosis"),
        ),
        Quantity("dose", "D", "percent", Text(en="dose", es="dosis")),
        Quantity("average", "TWA", "dBA", Text(en="average over 8 hours", es="promedio de 8 horas")),
    ),
    results=("dose", "average"),
    sources=("osha-1910-95",),
    notes=(
        Text(
            en="These are general industry's figures (29 CFR 1910.95, from memory); construction has its own "
            "rule, 29 CFR 1926.52 (from memory too).",
            es="Son las cifras de la industria general (29 CFR 1910.95, de memoria); la construcción tiene su "
            "regla, 29 CFR 1926.52 (también de memoria).",
        ),
    ),
    sample={"sample": ("2 h @ 97 dBA", "3 1/2 h @ 86 dBA", "1 h @ 82 dBA")},
    cautions=(cautions.NOISE,),
)
def dose(v: Any) -> None:
    """D = 100·Σ C/T with T = 8 h ÷ 2^((L − 90)/5), and TWA = 16.61·log(D/100) + 90.

    Raises Refusal when the samples make more than a day, or when none of them counts.
    """
    check_day(total(each.time for each in v.sample), 24.0, "h")
    loud = [each for each in v.sample if each.level >= QUIETEST and each.time > 0]
    if not loud:
        raise Refusal(
            Text(
                en="no sample reaches 80 dBA, so the dose is 0 and there is no average; give at least one that does.",
                es="ningún sample llega a 80 dBA, así que la dosis es 0 y no hay promedio; dé por lo menos uno que sí.",
            )
        )
    v.equal_time = total(each.time * 2 ** ((each.level - REFERENCE_LEVEL) / HALVING) for each in loud)
    v.dose = v.equal_time / REFERENCE_TIME * PERCENT
    v.average = PER_TENFOLD * logarithm(v.dose / PERCENT) + REFERENCE_LEVEL
