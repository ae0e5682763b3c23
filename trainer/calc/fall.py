"""Falls: the clear height that an arrest needs, and when protection is required.

fall.clearance, fall.rule
"""

from __future__ import annotations

from typing import Any, Final

from trainer.calc import cautions
from trainer.calc.algebra import Constant, at_least, more_than, plain
from trainer.calc.roof import LOW_SLOPE_RISE
from trainer.calc.spec import Input, Quantity, calculation
from trainer.errors import Refusal
from trainer.languages import Text

FREE_FALL_LIMIT: Final = 6.0  # ft, 29 CFR 1926.502(d)(16)
DECELERATION_LIMIT: Final = 3.5  # ft, 29 CFR 1926.502(d)(16)
TRIGGER_HEIGHT: Final = Constant(6.0, "ft")  # 29 CFR 1926.501(b)

# (b)(8) and the words of (b)(10) are from memory.
UNDER_SIX_FEET: Final = Text(
    en="29 CFR 1926.501(b): required from 6 ft up; over dangerous equipment at any height, (b)(8)",
    es="29 CFR 1926.501(b): obligatoria desde 6 ft; sobre equipo peligroso a cualquier altura, (b)(8)",
)
LOW_SLOPE: Final = Text(
    en="29 CFR 1926.501(b)(1): guardrail, safety net or personal fall arrest; chimney masonry is not roofing work, so "
    "do not count on the choices of (b)(10)",
    es="29 CFR 1926.501(b)(1): baranda, red o sistema personal de detención de caídas; la mampostería de chimenea no "
    "es trabajo de techado, así que no cuente con las opciones de (b)(10)",
)
STEEP: Final = Text(
    en="29 CFR 1926.501(b)(11): guardrail with toeboard, safety net or personal fall arrest",
    es="29 CFR 1926.501(b)(11): baranda con rodapié, red o sistema personal de detención de caídas",
)


@calculation(
    "fall.clearance",
    title=Text(en="Fall clearance", es="Espacio libre de caída"),
    purpose=Text(
        en="Clear height that a personal fall arrest system needs below the D-ring; the maker's instructions govern.",
        es="Altura libre bajo el anillo D que necesita un sistema de detención de caídas; manda el fabricante.",
    ),
    inputs=(
        Input(
            "free_fall",
            "f",
            "ft",
            Text(
                en="free fall with the anchorage level with the D-ring (the slack of the lanyard)",
                es="caída libre con el anclaje a la altura del anillo D (lo flojo de la cuerda de seguridad)",
            ),
            high=FREE_FALL_LIMIT,
        ),
        Input(
            "deceleration",
            "d",
            "ft",
            Text(en="deceleration distance", es="distancia de frenado"),
            default=DECELERATION_LIMIT,
            high=DECELERATION_LIMIT,
        ),
        Input(
            "stretch",
            "s",
            "ft",
            Text(
                en="stretch of harness and lifeline, with the D-ring's shift",
                es="lo que ceden el arnés, el anillo D y la línea de vida",
            ),
            default=1.0,
            high=20.0,
        ),
        Input(
            "dring_height",
            "h",
            "ft",
            Text(en="height of the D-ring above the feet", es="altura del anillo D sobre los pies"),
            default=5.0,
            high=7.0,
        ),
        Input(
            "anchor_below",
            "a",
            "ft",
            Text(
                en="how far the anchorage is below the D-ring; it adds to the free fall",
                es="cuánto queda el anclaje abajo del anillo D; se suma a la caída libre",
            ),
            default=0.0,
            high=FREE_FALL_LIMIT,
        ),
        Input(
            "margin",
            "m",
            "ft",
            Text(en="safety margin", es="margen de seguridad"),
            default=2.0,
            high=10.0,
        ),
        Input(
            "available",
            "H",
            "ft",
            Text(
                en="clear height below the D-ring to whatever would be struck",
                es="altura libre bajo el anillo D hasta lo que se podría golpear",
            ),
            default=None,
            high=500.0,
        ),
    ),
    quantities=(
        Quantity("total_free_fall", "F", "ft", Text(en="free fall in all", es="caída libre en total")),
        Quantity("stop", "t", "ft", Text(en="drop until stopped", es="bajada hasta quedar parado")),
        Quantity(
            "required",
            "R",
            "ft",
            Text(en="clear height needed below the D-ring", es="altura libre necesaria bajo el anillo D"),
        ),
        Quantity(
            "enough",
            "ok",
            "",
            Text(en="the clear height is enough", es="la altura libre alcanza"),
            kind="flag",
        ),
    ),
    results=("required", "enough"),
    sources=("osha-1926-502", "osha-technical-manual", "common-practice"),
    notes=(
        Text(
            en="The maker's instructions govern. Published sums differ in their terms: this one counts from the "
            "D-ring down. A swing fall needs more room.",
            es="Manda el instructivo del fabricante. Las cuentas publicadas no llevan los mismos términos: esta "
            "va del anillo D hacia abajo. Una caída en péndulo necesita más espacio.",
        ),
    ),
    sample={"free_fall": "4 ft", "anchor_below": "1 1/2 ft", "available": "20 ft"},
    cautions=(cautions.FALL,),
)
def clearance(v: Any) -> None:
    """The drop of the D-ring until it is stopped, then the body below it, then a margin.

    Published sums leave terms out; give 0 for those. A swing fall needs more room. `enough` is None when no
    `available` height is given. Raises Refusal when the free fall in all would pass 6 ft, 29 CFR 1926.502(d)(16).
    """
    fall = float(plain(v.free_fall)) + float(plain(v.anchor_below))
    if fall - FREE_FALL_LIMIT > 1e-9:
        raise Refusal(
            Text(
                en="free fall and anchorage below the D-ring make %(fall)g ft together, and 29 CFR 1926.502(d)(16) allows 6 ft; "
                "give less, with a shorter lanyard or a higher anchorage.",
                es="la caída libre y el anclaje bajo el anillo D suman %(fall)g ft, y 29 CFR 1926.502(d)(16) permite 6 ft; "
                "dé menos, con una cuerda más corta o un anclaje más alto.",
            ),
            fall=fall,
        )
    v.total_free_fall = v.free_fall + v.anchor_below
    v.stop = v.total_free_fall + v.deceleration + v.stretch
    v.required = v.stop + v.dring_height + v.margin
    v.enough = None if v.available is None else at_least(v.available, v.required)


@calculation(
    "fall.rule",
    title=Text(en="When fall protection is required", es="Cuándo es obligatoria la protección contra caídas"),
    purpose=Text(
        en="Whether federal rules require fall protection on a roof, and by which section; state and shop may ask more.",
        es="Si la regla federal exige protección contra caídas en un techo, y en qué sección; el estado y el taller "
        "pueden pedir más.",
    ),
    inputs=(
        Input(
            "height",
            "H",
            "ft",
            Text(
                en="height of the edge above the lower level", es="altura del borde sobre el nivel de abajo"
            ),
            high=500.0,
        ),
        Input(
            "rise",
            "r",
            "in/ft",
            Text(en="rise in 12 inches of run", es="subida en 12 pulgadas de avance"),
            high=48.0,
        ),
    ),
    quantities=(
        Quantity(
            "protection_required",
            "ok",
            "",
            Text(en="fall protection is required", es="la protección contra caídas es obligatoria"),
            kind="flag",
        ),
        Quantity("rule", "rule", "", Text(en="rule", es="regla"), kind="text"),
    ),
    results=("protection_required", "rule"),
    sources=("osha-1926-501", "osha-1926-500"),
    notes=(
        Text(
            en="Federal rules only; state plans and the shop may ask more. Before anyone steps off the ladder, "
            "the competent person decides how.",
            es="Sólo reglas federales; el estado y el taller pueden pedir más. La persona competente decide "
            "cómo, antes de que alguien deje la escalera.",
        ),
    ),
    sample={"height": "14 ft", "rise": "6 in 12"},
    cautions=(cautions.FALL,),
)
def rule(v: Any) -> None:
    """6 ft or more above the lower level; (b)(11) on a steep roof, (b)(1) on a low-slope one."""
    v.protection_required = at_least(v.height, TRIGGER_HEIGHT)
    if not v.protection_required:
        v.rule = UNDER_SIX_FEET
    elif more_than(plain(v.rise), LOW_SLOPE_RISE):
        v.rule = STEEP
    else:
        v.rule = LOW_SLOPE
