"""How concrete gains strength, and the days on which the form comes off and the coating goes on.

concrete.strength, concrete.strip
"""

from __future__ import annotations

from typing import Any, Final, NamedTuple

from trainer.calc import cautions
from trainer.calc.algebra import Constant, days_after, round_up
from trainer.calc.spec import Input, Quantity, Same, Shop, calculation
from trainer.languages import Text


class Gain(NamedTuple):
    """The two constants of t/(a + b·t): a [day], b."""

    a: Constant
    b: Constant


def _gain(a: float, b: float) -> Gain:
    return Gain(Constant(a, "day"), Constant(b))


# ACI 209R-92 Table 2.2.1, by cement and curing, at about 70 °F; the steam rows from memory.
GAINS: Final = {
    ("I", "moist"): _gain(4.0, 0.85),
    ("I", "steam"): _gain(1.0, 0.95),
    ("III", "moist"): _gain(2.3, 0.92),
    ("III", "steam"): _gain(0.70, 0.98),
}

CEMENT = Input(
    "cement",
    "cement",
    "",
    Text(en="type of portland cement", es="tipo de cemento portland"),
    default="I",
    kind="choice",
    choices=("I", "III"),
)
CURING = Input(
    "curing",
    "curing",
    "",
    Text(en="how it is cured", es="cómo se cura"),
    default="moist",
    kind="choice",
    choices=("moist", "steam"),
    words={"moist": Text(en="moist", es="húmedo"), "steam": Text(en="steam", es="vapor")},
)
GAIN_A = Quantity(
    "gain_a", "a", "day", Text(en="days in the cement's table row", es="días en la tabla, según el cemento")
)
GAIN_B = Quantity(
    "gain_b", "b", "", Text(en="factor in the cement's table row", es="factor en la tabla, según el cemento")
)


@calculation(
    "concrete.strength",
    title=Text(en="Strength by age", es="Resistencia según la edad"),
    purpose=Text(
        en="Strength of concrete at an age, from its 28-day strength, when kept damp at about 70 °F.",
        es="Resistencia del concreto a una edad, según la de 28 días, si se mantiene húmedo a unos 70 °F.",
    ),
    inputs=(
        Input("age", "t", "day", Text(en="age of the concrete", es="edad del concreto"), high=3650.0),
        Input(
            "strength_28",
            "f_28",
            "psi",
            Text(en="28-day strength", es="resistencia a 28 días"),
            default=4000.0,
            low=500.0,
            high=15000.0,
        ),
        CEMENT,
        CURING,
    ),
    quantities=(
        GAIN_A,
        GAIN_B,
        Quantity("fraction", "k", "", Text(en="share of the 28-day strength", es="parte de la de 28 días")),
        Quantity("strength", "f", "psi", Text(en="strength at that age", es="resistencia a esa edad")),
    ),
    results=("strength", "fraction"),
    sources=("aci-209r",),
    notes=(
        Text(
            en="4,000 psi is our own figure, taken when no strength is given: take it from the bag or the "
            "ticket. The curve holds for concrete kept damp at about 70 °F; in the cold it gains much more "
            "slowly.",
            es="4,000 psi es cifra nuestra, si no se da otra: tómela del saco o de la nota. La curva vale si se "
            "mantiene húmedo a unos 70 °F; con frío gana mucho más despacio.",
        ),
        Text(
            en="At 28 days the type I moist curve gives 1.007, not 1: it was fitted to many tests.",
            es="A los 28 días la curva del tipo I húmedo da 1.007, no 1: se ajustó a muchas pruebas.",
        ),
    ),
    sample={"age": "7 days"},
    cautions=(cautions.STRUCTURE,),
)
def strength(v: Any) -> None:
    """f28·t/(a + b·t). At 28 days the type I moist row gives 1.007, not 1: the curve was fitted to many tests."""
    gain = GAINS[v.cement, v.curing]
    v.gain_a = gain.a
    v.gain_b = gain.b
    v.fraction = v.age / (v.gain_a + v.gain_b * v.age)
    v.strength = v.fraction * v.strength_28


@calculation(
    "concrete.strip",
    title=Text(en="Strip and coat dates", es="Fechas para descimbrar y recubrir"),
    purpose=Text(
        en="The day on which the form comes off, the day on which the coating goes on and the strength by then.",
        es="El día en que se descimbra, el día en que va el recubrimiento y la resistencia para entonces.",
    ),
    inputs=(
        Input("poured_on", "d_p", "", Text(en="day of the pour", es="día del colado"), kind="date"),
        Input(
            "cure",
            "n_c",
            "day",
            Text(en="days from pouring to stripping", es="días del colado al descimbrado"),
            default=Shop("cure"),
            high=90.0,
        ),
        Input(
            "coat_after",
            "n_k",
            "day",
            Text(en="days from pouring to coating", es="días del colado al recubrimiento"),
            default=Same("cure"),
            high=365.0,
        ),
        CEMENT,
        CURING,
    ),
    quantities=(
        Quantity("days", "n", "day", Text(en="whole days in the form", es="días enteros en la cimbra")),
        Quantity("strip_on", "d_s", "", Text(en="strip the form on", es="descimbrar el"), kind="date"),
        Quantity(
            "coat_days", "m", "day", Text(en="whole days to the coating", es="días enteros al recubrimiento")
        ),
        Quantity("coat_on", "d_k", "", Text(en="coat on", es="recubrir el"), kind="date"),
        GAIN_A,
        GAIN_B,
        Quantity(
            "fraction_at_strip",
            "k",
            "",
            Text(
                en="share of the 28-day strength when stripped, kept damp at about 70 °F",
                es="parte de la resistencia de 28 días al descimbrar, húmedo a unos 70 °F",
            ),
        ),
    ),
    results=("strip_on", "coat_on", "fraction_at_strip"),
    sources=("aci-209r", "aci-308", "common-practice"),
    notes=(
        Text(
            en="Days are counted as if the concrete were kept damp at about 70 °F. Below about 50 °F the "
            "calendar is too early: ask concrete.maturity.",
            es="Los días se cuentan como si estuviera húmedo a unos 70 °F. Abajo de unos 50 °F el calendario se "
            "adelanta: use concrete.maturity.",
        ),
    ),
    sample={"poured_on": "2026-05-04"},
    cautions=(cautions.FALLING,),
)
def strip(v: Any) -> None:
    """The pour's date and the whole days after it; the share of strength from concrete.strength's curve.

    Cold slows the gain: below about 50 °F concrete.maturity tells more than the calendar.
    """
    v.days = round_up(v.cure)
    v.strip_on = days_after(v.poured_on, v.days)
    v.coat_days = round_up(v.coat_after)
    v.coat_on = days_after(v.poured_on, v.coat_days)
    gain = GAINS[v.cement, v.curing]
    v.gain_a = gain.a
    v.gain_b = gain.b
    v.fraction_at_strip = v.days / (v.gain_a + v.gain_b * v.days)
