"""The lines of a job sheet: key figures, materials, weights and steps, as tables of sentences.

"{slab.bond_gap}" in a sentence is filled with that value as a tape shows it.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final

from trainer.languages import Text
from trainer.takeoff.fields import FLUES


@dataclass(frozen=True, slots=True)
class Material:
    """One line of the material list. quantity: a reference; unit: how it is counted"""

    item: Text
    quantity: str
    unit: str


@dataclass(frozen=True, slots=True)
class KeyFigure:
    """One of the figures that head the sheet. when: a reference to what makes it needed"""

    what: Text
    value: Text
    when: str


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

KEY_FIGURES: Final = (
    KeyFigure(
        Text(en="Slab", es="Losa"),
        Text(
            en="{slab.slab_length} × {slab.slab_width}; {slab.edge_thickness} thick at the edge, "
            "{slab.flue_thickness} at the flue",
            es="{slab.slab_length} × {slab.slab_width}; {slab.edge_thickness} de espesor en la orilla, "
            "{slab.flue_thickness} en el tubo",
        ),
        "slab.volume",
    ),
    KeyFigure(
        Text(en="Fall", es="Pendiente"),
        Text(
            en="{slab.slope_long} along, {slab.slope_short} across",
            es="{slab.slope_long} a lo largo, {slab.slope_short} a lo ancho",
        ),
        "slab.slope_long",
    ),
    KeyFigure(
        Text(en="Concrete in the form", es="Concreto en la cimbra"),
        Text(
            en="{slab.volume}; {bags.volume_needed} with waste",
            es="{slab.volume}; {bags.volume_needed} con desperdicio",
        ),
        "bags.bags",
    ),
    KeyFigure(
        Text(en="Steel", es="Varilla"),
        Text(
            en="{mat.bar}: {mat.long_bars} long of {mat.long_length}, {mat.short_bars} short of {mat.short_length}; "
            "{mat.bars_cut} cut at the flues",
            es="{mat.bar}: {mat.long_bars} largas de {mat.long_length}, {mat.short_bars} cortas de {mat.short_length}; "
            "{mat.bars_cut} cortadas en los tubos",
        ),
        "mat.weight",
    ),
    KeyFigure(
        Text(
            en="Chimney top above where it passes through the roof",
            es="Punta de la chimenea sobre donde sale del techo",
        ),
        Text(
            en="at least {height.height_above_penetration} ({height.governs})",
            es="por lo menos {height.height_above_penetration} ({height.governs})",
        ),
        "height.height_above_penetration",
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
        Load(Text(en=f"{en}, flue {number}", es=f"{es}, tubo {number}"), f"{name}_{number}.weight")
        for number in FLUES
        for name, en, es in (
            ("piece_off", "Piece cut off", "Pieza cortada"),
            ("piece_on", "Piece added", "Pieza añadida"),
            (
                "tile",
                f"A whole tile, {{tile_{number}.length}} long",
                f"Un tubo entero, de {{tile_{number}.length}} de largo",
            ),
        )
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
            en="Take off the old crown and bring the debris down: {debris.trips} trips. Nothing stays on the roof.",
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
