"""Portable ladders.

ladder.set
"""

from __future__ import annotations

from typing import Any, Final

from trainer.calc import cautions
from trainer.calc.algebra import alike, arccosine, at_least, plain, square_root
from trainer.calc.spec import Input, Quantity, calculation
from trainer.errors import Refusal
from trainer.languages import Text

LANDING_EXTENSION: Final = 3.0  # ft, 29 CFR 1926.1053(b)(1)


@calculation(
    "ladder.set",
    title=Text(en="Setting a ladder", es="Colocar una escalera"),
    purpose=Text(
        en="How far out the foot stands and how long a ladder the roof edge needs.",
        es="Qué tan afuera va la pata y qué tan larga debe ser la escalera para la orilla del techo.",
    ),
    inputs=(
        Input(
            "support_height",
            "H",
            "ft",
            Text(
                en="height of the top support above the ground at the foot",
                es="altura del apoyo de arriba sobre el suelo donde va la pata",
            ),
            low=3.0,
            high=60.0,
        ),
        Input(
            "extension",
            "e",
            "ft",
            Text(en="rails above the landing, measured straight up", es="largueros sobre la orilla, a plomo"),
            default=LANDING_EXTENSION,
            high=10.0,
        ),
        Input(
            "secured",
            "secured",
            "",
            Text(
                en="tied at the top to a rigid support, with a grab rail",
                es="amarrada arriba a un apoyo rígido, con agarradera",
            ),
            default="no",
            kind="choice",
            choices=("no", "yes"),
            words={"no": Text(en="no", es="no"), "yes": Text(en="yes", es="sí")},
        ),
    ),
    quantities=(
        Quantity(
            "working_length",
            "l",
            "ft",
            Text(
                en="working length, foot to top support along the rails",
                es="largo de trabajo, de la pata al apoyo",
            ),
        ),
        Quantity(
            "setback",
            "b",
            "ft",
            Text(
                en="foot out from below the support (a quarter of the working length)",
                es="separación de la pata (un cuarto del largo de trabajo)",
            ),
        ),
        Quantity("angle", "α", "degree", Text(en="angle from the ground", es="ángulo con el suelo")),
        Quantity(
            "rail_length",
            "l_r",
            "ft",
            Text(en="least length of the rails", es="largo mínimo de los largueros"),
        ),
    ),
    results=("working_length", "setback", "angle", "rail_length"),
    sources=("osha-1926-1053", "geometry"),
    notes=(
        Text(
            en="29 CFR 1926.1053(b)(1): the rails stand 3 ft above the landing, or the ladder is tied at the top "
            "to a rigid support and has a grab rail.",
            es="29 CFR 1926.1053(b)(1): los largueros pasan 3 ft de la orilla, o la escalera se amarra arriba a "
            "un apoyo rígido y lleva agarradera.",
        ),
    ),
    sample={"support_height": "16 1/2 ft"},
    cautions=(cautions.POWER_LINE, cautions.FALL),
)
def set_up(v: Any) -> None:
    """The foot out a quarter of the working length: the height is √(1 − 1/4²) of that length.

    29 CFR 1926.1053(b)(5)(i) measures the quarter against the working length, not the height; (b)(1) asks the rails
    to stand 3 ft above the landing, so the rails carry on at the same angle until they are that much higher.
    Raises Refusal when the rails stand less than that and the ladder is not secured at the top instead.
    """
    if v.secured != "yes" and not at_least(plain(v.extension), LANDING_EXTENSION):
        raise Refusal(
            Text(
                en="extension %(extension)g ft is under the 3 ft of 29 CFR 1926.1053(b)(1); give 3 ft or more, or "
                "secured=yes for a ladder tied at the top to a rigid support, with a grab rail.",
                es="extension %(extension)g ft es menos que los 3 ft de 29 CFR 1926.1053(b)(1); dé 3 ft o más, o "
                "secured=sí si la escalera se amarra arriba a un apoyo rígido, con agarradera.",
            ),
            extension=float(plain(v.extension)),
        )
    v.working_length = v.support_height / square_root(1 - (alike(v.support_height, 1.0) / 4) ** 2)
    v.setback = v.working_length / 4
    v.angle = arccosine(v.setback / v.working_length)
    v.rail_length = v.working_length * (v.support_height + v.extension) / v.support_height
