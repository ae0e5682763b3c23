"""What the job sheet says of a take-off: materials, weights, steps, cautions.

Tables of sentences with places for references: "{slab.bond_gap}" is filled with that value as a tape shows it. A line
is there when what it speaks of was worked out and is not nothing.
"""

from __future__ import annotations

import re
from collections import Counter
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from typing import Any, Final

from trainer.calc import notation
from trainer.languages import Text
from trainer.takeoff.fields import FLUES
from trainer.takeoff.run import TakeOff

PLACE: Final = re.compile(r"\{([\w.]+)\}")


@dataclass(frozen=True, slots=True)
class Material:
    """One line of the material list. quantity: a reference; unit: how it is counted"""

    item: Text
    quantity: str
    unit: str


@dataclass(frozen=True, slots=True)
class Load:
    """Something heavy. weight, trips: references, trips "" when it does not go by trips"""

    what: Text
    weight: str
    trips: str = ""


@dataclass(frozen=True, slots=True)
class Step:
    """One step of the work. when: a reference to what makes it needed; on: a reference to its date"""

    what: Text
    when: str
    on: str = ""


@dataclass(frozen=True, slots=True)
class Caution:
    """A caution: its ANSI Z535 signal word in small letters, its sentence, and when it is said."""

    level: str
    sentence: Text
    when: Callable[[TakeOff], Any]


@dataclass(frozen=True, slots=True)
class MaterialLine:
    """A material as it stands in the list of one job. value: in `unit`; link: the evaluation it comes from"""

    item: str
    value: float
    unit: str
    shown: str
    link: str


MATERIALS: Final = (
    Material(
        Text(en="Pre-mixed concrete, {bags.bag} bags", es="Concreto premezclado, sacos de {bags.bag}"),
        "bags.bags",
        "bags",
    ),
    Material(
        Text(
            en="Clean water for the mix, at most; at least {bags.water_low}",
            es="Agua limpia para la mezcla, como máximo; por lo menos {bags.water_low}",
        ),
        "bags.water_high",
        "gal",
    ),
    Material(
        Text(
            en="Form lumber {form.board}: 2 at {form.long_boards}, 2 at {form.short_boards}",
            es="Madera de cimbra {form.board}: 2 de {form.long_boards}, 2 de {form.short_boards}",
        ),
        "form.total_length",
        "ft",
    ),
    Material(
        Text(
            en="Rebar {mat.bar}, bars of {stock.stock_length}",
            es="Varilla {mat.bar}, de {stock.stock_length}",
        ),
        "stock.bars_needed",
        "bars",
    ),
    Material(Text(en="Wire ties", es="Amarres de alambre recocido"), "mat.ties", "count"),
    Material(
        Text(
            en="Compressible filler round the flues, {joint.bond_gap} thick",
            es="Relleno compresible alrededor de los tubos, de {joint.bond_gap}",
        ),
        "joint.length",
        "ft",
    ),
    Material(Text(en="Backer rod, {rod.rod}", es="Cordón de respaldo, {rod.rod}"), "bead.length", "ft"),
    Material(
        Text(en="Sealant, cartridges of {bead.cartridge}", es="Sellador, cartuchos de {bead.cartridge}"),
        "bead.cartridges",
        "count",
    ),
    Material(
        Text(
            en="Brushed coating, pails of {pails.pail}",
            es="Capa protectora con brocha, cubetas de {pails.pail}",
        ),
        "pails.pails",
        "count",
    ),
    Material(
        Text(en="Wet cover and plastic for the cure", es="Cubierta mojada y plástico para el curado"),
        "slab.gross_area",
        "ft2",
    ),
    *(
        Material(
            Text(
                en=f"Flue extension for {{flue_{number}}} (flue {number})",
                es=f"Alargue para el tubo de {{flue_{number}}} (tubo {number})",
            ),
            f"cut_{number}.extension",
            "in",
        )
        for number in FLUES
    ),
    Material(Text(en="Brick", es="Ladrillo"), "brick.bricks", "bricks"),
    Material(Text(en="Mortar for pointing", es="Mortero para rejuntar"), "repoint.bags", "bags"),
    Material(
        Text(en="Roof cover, sheets of {protect.sheet}", es="Cubierta de techo, hojas de {protect.sheet}"),
        "protect.sheets",
        "count",
    ),
)

LOADS: Final = (
    Load(Text(en="The new crown", es="La corona nueva"), "slab.weight"),
    Load(Text(en="One bag", es="Un saco"), "bags.one_bag"),
    Load(Text(en="All the bags", es="Todos los sacos"), "bags.bag_weight"),
    Load(
        Text(
            en="A bucket of concrete, {buckets.fill} in it", es="Una cubeta de concreto, con {buckets.fill}"
        ),
        "buckets.load",
        "buckets.trips",
    ),
    Load(Text(en="The steel mat", es="La parrilla de varilla"), "mat.weight"),
    *(
        Load(
            Text(en=f"Piece {en}, flue {number}", es=f"Pieza {es}, tubo {number}"), f"{name}_{number}.weight"
        )
        for number in FLUES
        for name, en, es in (("piece_off", "cut off", "cortada"), ("piece_on", "added", "añadida"))
    ),
    Load(Text(en="Debris", es="Escombro"), "debris.weight", "debris.trips"),
)

STEPS: Final = (
    Step(
        Text(
            en="Cover the roof round the chimney, {protect.area} on the slope.",
            es="Cubra el techo alrededor de la chimenea, {protect.area} sobre la pendiente.",
        ),
        "protect.area",
    ),
    Step(
        Text(
            en="Take off the old crown and bring the debris down: {debris.trips} trips. None of it stays on the roof.",
            es="Quite la corona vieja y baje el escombro: {debris.trips} viajes. Nada se queda en el techo.",
        ),
        "debris.weight",
    ),
    Step(Text(en="Rebuild the brick at the top.", es="Rehaga el ladrillo de arriba."), "brick.bricks"),
    *(
        Step(
            Text(
                en=f"Flue {number}: {en} {{cut_{number}.{what}}} before the form goes on.",
                es=f"Tubo {number}: {es} {{cut_{number}.{what}}} antes de poner la cimbra.",
            ),
            f"cut_{number}.{what}",
        )
        for number in FLUES
        for what, en, es in (("cut_down", "cut off", "corte"), ("extension", "add", "añada"))
    ),
    Step(
        Text(
            en="Set the form, brace it and oil it. It is square when both diagonals are {form.diagonal}.",
            es="Ponga la cimbra, apuntálela y póngale desmoldante. Está a escuadra cuando las dos diagonales miden "
            "{form.diagonal}.",
        ),
        "form.diagonal",
    ),
    Step(
        Text(
            en="Wrap each flue in compressible filler, {joint.bond_gap} thick: no concrete touches a tile.",
            es="Envuelva cada tubo en relleno compresible de {joint.bond_gap}: ningún concreto toca el tubo.",
        ),
        "joint.length",
    ),
    Step(
        Text(
            en="Lay and tie the steel: {mat.long_bars} long bars, {mat.short_bars} short bars, {mat.cover} from the form.",
            es="Ponga y amarre la varilla: {mat.long_bars} largas, {mat.short_bars} cortas, a {mat.cover} de la cimbra.",
        ),
        "mat.weight",
    ),
    Step(
        Text(
            en="Mix, pour, finish to the fall, and keep it damp and covered.",
            es="Mezcle, cuele, dé el acabado con su pendiente y manténgala húmeda y tapada.",
        ),
        "strip.poured_on",
        "strip.poured_on",
    ),
    Step(Text(en="Strip the form.", es="Descimbre."), "strip.strip_on", "strip.strip_on"),
    Step(
        Text(
            en="Set the backer rod and seal round the flues, bead {bead.depth} deep.",
            es="Meta el cordón de respaldo y selle alrededor de los tubos, con sellador de {bead.depth} de profundidad.",
        ),
        "bead.length",
        "strip.coat_on",
    ),
    Step(
        Text(
            en="Brush on the coating, {pails.gallons} for all coats.",
            es="Aplique la capa protectora con brocha, {pails.gallons} para todas las manos.",
        ),
        "pails.pails",
        "strip.coat_on",
    ),
    Step(
        Text(
            en="Rake the joints {repoint.depth_low} to {repoint.depth_high} deep and point them.",
            es="Vacíe las juntas de {repoint.depth_low} a {repoint.depth_high} y rejunte.",
        ),
        "repoint.bags",
    ),
)


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
    Caution(
        "warning",
        Text(
            en="Cutting concrete, brick or tile makes silica dust: water or a shroud with a vacuum, and the respirator that "
            "the rule asks for.",
            es="Cortar concreto, ladrillo o tubo hace polvo de sílice: agua o guarda con aspiradora, y el respirador que "
            "pide la regla.",
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


def filled(take_off: TakeOff, text: Text, language: str = "en") -> str:
    """The sentence with its places filled."""
    return PLACE.sub(lambda place: take_off.on_tape(place[1], language), text.in_language(language))


def materials(take_off: TakeOff, language: str = "en") -> Iterator[MaterialLine]:
    """The material list of the job."""
    for material in MATERIALS:
        value = take_off.value(material.quantity)
        if value:
            shown = (
                take_off.on_tape(material.quantity, language)
                if material.unit == "in"
                else notation.write(value, material.unit, language)
            )
            item = filled(take_off, material.item, language)
            yield MaterialLine(item, value, material.unit, shown, material.quantity.partition(".")[0])


def loads(take_off: TakeOff, language: str = "en") -> Iterator[tuple[str, str, str]]:
    """(what, weight, trips) of everything heavy; no trips is ""."""
    for load in LOADS:
        if take_off.value(load.weight) is not None:
            trips = take_off.shown(load.trips, language) if load.trips else ""
            yield filled(take_off, load.what, language), take_off.shown(load.weight, language), trips


def steps(take_off: TakeOff, language: str = "en") -> Iterator[tuple[str, Any]]:
    """(what to do, its date or None), in the order of the work."""
    for step in STEPS:
        if take_off.value(step.when):
            yield filled(take_off, step.what, language), take_off.value(step.on) if step.on else None


def cautions(take_off: TakeOff, language: str = "en") -> Iterator[tuple[str, str]]:
    """(signal word in small letters, sentence)."""
    for caution in CAUTIONS:
        if caution.when(take_off):
            yield caution.level, filled(take_off, caution.sentence, language)


def cuts(take_off: TakeOff, language: str = "en") -> Iterator[tuple[int, str]]:
    """(how many bars, what to saw from each) of the cutting plan."""
    for bar, times in Counter(map(tuple, take_off.value("stock.plan") or ())).items():
        pieces = Counter(notation.write_inches(length, language=language) for length in bar)
        yield times, " + ".join(f"{count} × {length}" for length, count in pieces.items())
