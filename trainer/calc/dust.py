"""Silica dust: the shroud's airflow, the respirator, the exposure over a shift.

dust.shroud, dust.exposure
"""

from __future__ import annotations

from typing import Any, Final

from trainer.calc import cautions
from trainer.calc.algebra import Constant, at_least, more_than, total
from trainer.calc.entries import Part
from trainer.calc.shift import check_day
from trainer.calc.spec import Input, Quantity, calculation
from trainer.languages import Text

AIRFLOW_PER_INCH: Final = Constant(25.0, "cfm/in")  # 29 CFR 1926.1153, Table 1 (xi), (xii)
LONG_SHIFT: Final = 4.0  # h
NONE, APF_10, APF_25 = "none", "APF 10", "APF 25"

# 29 CFR 1926.1153, Table 1 (xi) and (xii): respirator for up to 4 h a shift and for longer.
TASKS: Final = {
    "mortar removal": (APF_10, APF_25),
    "other grinding, outdoors": (NONE, NONE),
    "other grinding, indoors": (NONE, APF_10),
}
TASK_WORDS: Final = {
    "mortar removal": Text(en="mortar removal", es="quitar mortero"),
    "other grinding, outdoors": Text(en="other grinding, outdoors", es="otro esmerilado, afuera"),
    "other grinding, indoors": Text(en="other grinding, indoors", es="otro esmerilado, adentro"),
}

# 29 CFR 1926.1153(b) and (d), averages over 8 h [µg/m³].
ACTION_LEVEL: Final = Constant(25.0, "ug/m3")
EXPOSURE_LIMIT: Final = Constant(50.0, "ug/m3")
WORKDAY: Final = Constant(480.0, "minute")
DAY: Final = 24 * 60.0


@calculation(
    "dust.shroud",
    title=Text(en="Dust shroud and respirator", es="Cubierta colectora y respirador"),
    purpose=Text(
        en="Airflow that a grinder's dust shroud needs, and the respirator that Table 1 asks for.",
        es="Flujo de aire que necesita la cubierta colectora de una esmeriladora, y el respirador que pide la Tabla 1.",
    ),
    inputs=(
        Input(
            "wheel_diameter",
            "d",
            "in",
            Text(en="diameter of the wheel", es="diámetro del disco"),
            low=1.0,
            high=24.0,
        ),
        Input(
            "task",
            "task",
            "",
            Text(en="task of Table 1", es="tarea de la Tabla 1"),
            default="mortar removal",
            kind="choice",
            choices=tuple(TASKS),
            words=TASK_WORDS,
        ),
        Input(
            "hours", "T", "hour", Text(en="time at it in a shift", es="tiempo en eso por turno"), high=24.0
        ),
    ),
    quantities=(
        Quantity(
            "airflow", "Q", "cfm", Text(en="least airflow of the collector", es="flujo mínimo del colector")
        ),
        Quantity(
            "respirator",
            "resp",
            "",
            Text(
                en="respirator, with every control of Table 1 in use",
                es="respirador, usando todos los controles de la Tabla 1",
            ),
            kind="text",
            words={NONE: Text(en=NONE, es="ninguno")},
        ),
    ),
    results=("airflow", "respirator"),
    sources=("osha-1926-1153",),
    notes=(
        Text(
            en="Table 1 counts only with every control it lists in use: shroud, airflow, a filter of 99 % or "
            "better and, for mortar removal, a cyclonic separator or filter cleaning. Otherwise the exposure "
            "must be measured.",
            es="La Tabla 1 sólo vale con todos sus controles en uso: cubierta colectora, flujo, filtro de 99 % o "
            "mejor y, al quitar mortero, separador ciclónico o limpieza del filtro. Si no, la exposición se "
            "tiene que medir.",
        ),
    ),
    sample={"wheel_diameter": "4 1/2 in", "hours": "3 hours"},
    cautions=(cautions.SILICA,),
)
def shroud(v: Any) -> None:
    """25 cfm for each inch of wheel; the respirator by task and hours. APF is the assigned protection factor.

    Table 1 also asks for a filter of 99 % or better and, for mortar removal, a cyclonic pre-separator or filter
    cleaning. Without every listed control the exposure must be assessed instead.
    """
    v.airflow = AIRFLOW_PER_INCH * v.wheel_diameter
    up_to_four, longer = TASKS[v.task]
    v.respirator = longer if v.hours > LONG_SHIFT else up_to_four


@calculation(
    "dust.exposure",
    title=Text(en="Silica exposure over a shift", es="Exposición a sílice en un turno"),
    purpose=Text(
        en="Eight-hour average of measured respirable silica, against the action level and the limit.",
        es="Promedio de ocho horas de sílice respirable medida, contra el nivel de acción y el límite.",
    ),
    inputs=(
        Input(
            "sample",
            "s",
            "ug/m3",
            Text(
                en="time and respirable silica in it; time not sampled counts as clean air",
                es="tiempo y sílice respirable en él; lo que no se midió cuenta como aire limpio",
            ),
            kind="at",
            parts=(
                Part("time", "t", "minute", 0.0, DAY),
                Part("concentration", "c", "ug/m3", 0.0, 1e6),
            ),
            example="90 min @ 120 ug/m3",
            many=True,
        ),
    ),
    quantities=(
        Quantity("sampled", "T", "minute", Text(en="time sampled", es="tiempo medido")),
        Quantity("average_8h", "C", "ug/m3", Text(en="average over 8 hours", es="promedio de 8 horas")),
        Quantity(
            "over_action",
            "action",
            "",
            Text(en="at or over the action level, 25 µg/m³", es="en el nivel de acción, 25 µg/m³, o más"),
            kind="flag",
        ),
        Quantity(
            "over_limit",
            "limit",
            "",
            Text(
                en="over the permissible exposure limit, 50 µg/m³",
                es="más del límite de exposición permisible, 50 µg/m³",
            ),
            kind="flag",
        ),
    ),
    results=("average_8h", "over_action", "over_limit"),
    sources=("osha-1926-1153-limits",),
    sample={"sample": ("90 min @ 120 ug/m3", "200 min @ 33 ug/m3")},
    cautions=(cautions.SILICA,),
)
def exposure(v: Any) -> None:
    """Dust times time over 8 h, however long the shift was. Raises Refusal when the samples make more than a day."""
    v.sampled = total(each.time for each in v.sample)
    check_day(v.sampled, DAY, "min")
    v.average_8h = total(each.concentration * each.time for each in v.sample) / WORKDAY
    v.over_action = at_least(v.average_8h, ACTION_LEVEL)
    v.over_limit = more_than(v.average_8h, EXPOSURE_LIMIT)
