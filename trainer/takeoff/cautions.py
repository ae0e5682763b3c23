"""The cautions of a job sheet, each with when it is said."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from typing import Any, Final

from trainer.languages import Text
from trainer.takeoff.fields import FLUES
from trainer.takeoff.run import TakeOff


@dataclass(frozen=True, slots=True)
class Caution:
    """A caution: its ANSI Z535 signal word in small letters, its sentence, and when it is said."""

    level: str
    sentence: Text
    when: Callable[[TakeOff], Any]


def _covered(flues: TakeOff) -> bool:
    return any((flues.value(f"cut_{number}.projection_now") or 1) < 0 for number in FLUES)


def _over(low: str, high: str) -> Callable[[TakeOff], Any]:
    """Whether the second reference's value is greater than the first's."""

    def over(take_off: TakeOff) -> bool:
        one, other = take_off.value(low), take_off.value(high)
        return one is not None and other is not None and other > one + 1e-9

    return over


def _is(reference: str, value: Any) -> Callable[[TakeOff], Any]:
    return lambda take_off: take_off.value(reference) == value


def _any(*links: str) -> Callable[[TakeOff], Any]:
    """Whether one of the links is in the job and done."""
    return lambda take_off: any(take_off.done(link) for link in links)


_CUTS: Final = tuple(f"cut_{number}" for number in FLUES)

CAUTIONS: Final = (
    Caution(
        "danger",
        Text(
            en="A fall from a roof kills. Nobody goes up without clearance for the roof, and the shop's competent person "
            "decides each day whether it is safe to start.",
            es="Una caída del techo mata. Nadie sube sin autorización para el techo, y la persona competente del taller "
            "decide cada día si se puede empezar.",
        ),
        _any("slab"),
    ),
    # 29 CFR 1926.1053(b)(21) and (22): a hand on the ladder, and no load that could cost the balance.
    Caution(
        "warning",
        Text(
            en="Hands are for the ladder: bags, buckets, tiles and debris go up and down by hoist or rope, and nobody stands "
            "below them.",
            es="Las manos son para la escalera: sacos, cubetas, tubos y escombro suben y bajan con aparejo o cuerda, y nadie "
            "se para debajo.",
        ),
        _any("buckets"),
    ),
    Caution(
        "warning",
        Text(
            en="Cutting concrete, brick or tile makes silica dust. A saw has water on its blade; a grinder has water, or a "
            "shroud with a dust collector; and the respirator is the one that 29 CFR 1926.1153 asks for.",
            es="Cortar concreto, ladrillo o tubo hace polvo de sílice. La sierra lleva agua en el disco; la esmeriladora "
            "lleva agua, o cubierta con colector de polvo; y el respirador es el que pide 29 CFR 1926.1153.",
        ),
        _any("debris", "brick_off", "repoint", *_CUTS),
    ),
    Caution(
        "warning",
        Text(
            en="No appliance burns while its flue is open or covered. A flue that was cut, extended or covered changes its "
            "draft: someone licensed for it checks flue and appliance before the fire is lit again.",
            es="Ningún aparato se prende mientras su conducto está abierto o tapado. Un tubo cortado, alargado o tapado "
            "cambia su tiro: alguien con licencia para eso revisa el conducto y el aparato antes de volver a prender.",
        ),
        _any("joint"),
    ),
    Caution(
        "caution",
        Text(
            en="Look at the forecast for the pour and the whole cure. No pour in rain. Under 40 °F it is cold-weather concrete "
            "(ACI 306) and needs its own plan; in hot, dry wind shade it and keep it covered.",
            es="Vea el pronóstico para el colado y todo el curado. No se cuela con lluvia. Con menos de 40 °F es concreto en "
            "clima frío (ACI 306) y pide su propio plan; con viento seco y calor, dele sombra y téngalo tapado.",
        ),
        _any("strip"),
    ),
    Caution(
        "warning",
        Text(
            en="One bag is {bags.one_bag}; one person carries {buckets.carry_limit} at most. Two carry it, a hoist lifts it, or "
            "buy smaller bags.",
            es="Un saco pesa {bags.one_bag}; una persona carga {buckets.carry_limit} como máximo. Lo cargan dos, se sube con "
            "aparejo o se compran sacos chicos.",
        ),
        _over("buckets.carry_limit", "bags.one_bag"),
    ),
    Caution(
        "caution",
        Text(
            en="The form board is {form.board_depth} deep and the edge of the crown {slab.edge_thickness}: take a deeper board.",
            es="La tabla tiene {form.board_depth} de alto y la orilla de la corona {slab.edge_thickness}: use una tabla más "
            "alta.",
        ),
        _over("form.board_depth", "slab.edge_thickness"),
    ),
    Caution(
        "caution",
        Text(
            en="The mat needs {mat.depth_needed} of depth and the edge has {mat.thickness}: make the crown thicker or the cover "
            "less, not under the standard.",
            es="La parrilla pide {mat.depth_needed} de espesor y la orilla tiene {mat.thickness}: haga más gruesa la corona o "
            "menor el recubrimiento, sin bajar del estándar.",
        ),
        _is("mat.fits", False),
    ),
    Caution(
        "caution",
        Text(
            en="There is less steel than 0.0018 of the section: closer or bigger bars.",
            es="Hay menos varilla que 0.0018 de la sección: más juntas o más gruesas.",
        ),
        _is("mat.meets_minimum", False),
    ),
    Caution(
        "caution",
        Text(
            en="No stock backer rod is 25 to 50 % over the gap; {rod.rod} is the next. Ask the sealant's maker.",
            es="Ningún cordón comercial es de 25 a 50 % mayor que la holgura; el que sigue es de {rod.rod}. Pregunte al "
            "fabricante del sellador.",
        ),
        _is("rod.rod_in_range", False),
    ),
    Caution(
        "caution",
        Text(
            en="The top is flat and water will stand on it: give it a fall from the middle to the edge.",
            es="La cara de arriba queda plana y el agua se va a quedar: dele pendiente del centro a la orilla.",
        ),
        _is("slab.slope_long", 0.0),
    ),
    Caution(
        "warning",
        Text(
            en="The new crown would cover a flue as it stands. Extend it before the pour.",
            es="La corona nueva taparía un tubo como está. Alárguelo antes del colado.",
        ),
        _covered,
    ),
    Caution(
        "notice",
        Text(
            en="The label on the bag, the cartridge and the pail governs. The local code, the authority on the job and licensed "
            "practice come before this sheet.",
            es="Manda la etiqueta del saco, del cartucho y de la cubeta. El código local, la autoridad de la obra y la "
            "práctica con licencia van antes que esta hoja.",
        ),
        lambda take_off: True,
    ),
)
