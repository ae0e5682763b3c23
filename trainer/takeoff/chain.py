"""The chain: which calculation is done, and which field or earlier result each of its inputs takes."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Final

from trainer.languages import Text
from trainer.takeoff.fields import FLUES
from trainer.takeoff.links import Link, Made, brick_line, faces, flues, pieces, same

_SLAB: Final = {"slab_length": "slab.slab_length", "slab_width": "slab.slab_width"}
_FLUES: Final = {"flue": Made(flues), "bond_gap": "bond_gap", "flue_spacing": "flue_spacing"}
_BRICK: Final = same("brick_length", "brick_height", "joint")


def _of_flue(number: int) -> Iterator[Link]:
    """The links of one flue's top."""
    flue, cut = f"flue_{number}", f"cut_{number}"

    def titled(en: str, es: str) -> Text:
        return Text(en=f"Flue {number}: {en}", es=f"Tubo {number}: {es}")

    yield Link(
        cut,
        "flue.cut",
        titled("cut or extend", "cortar o alargar"),
        {
            "flue_above_wall": f"above_wall_{number}",
            "flue_thickness": "slab.flue_thickness",
            **same("base_thickness", "projection", "max_projection"),
        },
        parts=("flues",),
        only_if=(flue,),
        blame="max_projection",
        drawn=True,
    )
    yield Link(
        f"saw_{number}",
        "flue.cutline",
        titled("sawing", "corte"),
        {
            "outside": flue,
            "cut_down": f"{cut}.cut_down",
            **same("wall_thickness", "blade_diameter", "flange_diameter"),
        },
        parts=("flues",),
        only_if=(flue, f"{cut}.cut_down", "blade_diameter"),
        blame="flange_diameter",
    )
    yield Link(
        f"tile_{number}",
        "flue.weight",
        titled("a whole tile", "un tubo entero"),
        {"outside": flue, "wall_thickness": "wall_thickness"},
        parts=("flues",),
        only_if=(flue, f"{cut}.extension"),
        blame="wall_thickness",
    )
    for name, length, title in (
        ("piece_off", "cut_down", titled("piece cut off", "pieza cortada")),
        ("piece_on", "extension", titled("piece added", "pieza añadida")),
    ):
        yield Link(
            f"{name}_{number}",
            "flue.weight",
            title,
            {"outside": flue, "wall_thickness": "wall_thickness", "length": f"{cut}.{length}"},
            parts=("flues",),
            only_if=(flue, f"{cut}.{length}"),
            blame="wall_thickness",
        )


CHAIN: Final = (
    Link(
        "slab",
        "crown.slab",
        Text(en="The crown", es="La corona"),
        {
            **same(
                "chimney_length", "chimney_width", "overhang", "edge_thickness", "flue_thickness", "density"
            ),
            **_FLUES,
        },
        blame="flue_1",
        drawn=True,
    ),
    Link(
        "form",
        "form.boards",
        Text(en="Form boards", es="Tablas de la cimbra"),
        {**_SLAB, "board": "board"},
        blame="board",
        drawn=True,
    ),
    Link(
        "mat",
        "rebar.mat",
        Text(en="Steel mat", es="Parrilla de varilla"),
        {**_SLAB, "thickness": "slab.edge_thickness", **same("cover", "max_spacing", "bar"), **_FLUES},
        parts=("steel",),
        blame="cover",
        drawn=True,
    ),
    Link(
        "stock",
        "rebar.stock",
        Text(en="Cutting plan", es="Plan de corte"),
        {"piece": Made(pieces), **same("stock_length", "kerf")},
        parts=("steel",),
        blame="stock_length",
        drawn=True,
    ),
    Link(
        "bags",
        "concrete.bags",
        Text(en="Concrete", es="Concreto"),
        {"volume": "slab.volume", "waste": "waste", "bag": "bag", "yield": "bag_yield"},
        blame="bag",
    ),
    Link(
        "buckets",
        "concrete.buckets",
        Text(en="Buckets of concrete", es="Cubetas de concreto"),
        {
            "volume": "bags.volume_needed",
            **same("density", "carry_limit", "bucket_volume", "bucket_weight"),
        },
        blame="bucket_weight",
    ),
    Link(
        "joint",
        "sealant.joint",
        Text(en="Gap round the flues", es="Holgura alrededor de los tubos"),
        {"flue": Made(flues), "bond_gap": "bond_gap"},
        only_if=("flues",),
        blame="bond_gap",
    ),
    Link(
        "rod",
        "sealant.rod",
        Text(en="Backer rod", es="Cordón de respaldo"),
        {"joint_width": "slab.bond_gap"},
        parts=("sealant",),
        only_if=("flues",),
        blame="bond_gap",
        drawn=True,
    ),
    Link(
        "bead",
        "sealant.bead",
        Text(en="Sealant", es="Sellador"),
        {
            "length": "joint.length",
            "width": "slab.bond_gap",
            "depth": "rod.bead_depth",
            "waste": "sealant_waste",
            "cartridge": "cartridge",
        },
        parts=("sealant",),
        only_if=("flues",),
        blame="bond_gap",
    ),
    Link(
        "surface",
        "coating.area",
        Text(en="Area to coat", es="Área que se cubre"),
        {"net_area": "slab.net_area", "perimeter": "slab.perimeter", "edge_thickness": "slab.edge_thickness"},
        parts=("coating",),
        blame="coverage",
    ),
    Link(
        "pails",
        "coating.pails",
        Text(en="Coating", es="Capa protectora"),
        {"area": "surface.area", **same("coats", "coverage", "pail")},
        parts=("coating",),
        blame="coverage",
    ),
    Link(
        "strip",
        "concrete.strip",
        Text(en="Dates", es="Fechas"),
        same("poured_on", "cure", "coat_after"),
        blame="coat_after",
    ),
    *(link for number in FLUES for link in _of_flue(number)),
    Link(
        "height",
        "chimney.height",
        Text(en="Height above the roof", es="Altura sobre el techo"),
        same("pitch", "ridge_distance", "roof_at_chimney"),
        parts=("height",),
        blame="ridge_distance",
        drawn=True,
    ),
    Link(
        "protect",
        "roof.protect",
        Text(en="Covering the roof", es="Cubrir el techo"),
        {**same("chimney_length", "chimney_width", "margin"), "rise": "pitch"},
        parts=("protect",),
        blame="margin",
        drawn=True,
    ),
    Link(
        "brick_line",
        "tape.add",
        Text(en="Brick round the chimney, one thick", es="Ladrillo alrededor de la chimenea, de un grueso"),
        {"length": Made(brick_line)},
        parts=("brick",),
        blame="brick_depth",
    ),
    Link(
        "brick",
        "brick.count",
        Text(en="Brick to order", es="Ladrillo que se pide"),
        {"wall_length": "brick_line.total", "wall_height": "brick_rise", **_BRICK, "waste": "brick_waste"},
        parts=("brick",),
        blame="brick_rise",
    ),
    Link(
        "brick_off",
        "brick.count",
        Text(en="Brick taken off", es="Ladrillo que se quita"),
        {"wall_length": "brick_line.total", "wall_height": "brick_rise", **_BRICK, "waste": 0.0},
        parts=("brick", "debris"),
        blame="brick_rise",
    ),
    Link(
        "old",
        "crown.slab",
        Text(en="The old crown", es="La corona vieja"),
        {
            **same("chimney_length", "chimney_width", "density"),
            "overhang": "old_overhang",
            "edge_thickness": "old_thickness",
            "flue": Made(flues),
            "flue_spacing": "flue_spacing",
            "bond_gap": 0.0,
        },
        parts=("debris",),
        blame="old_thickness",
    ),
    Link(
        "debris",
        "roof.debris",
        Text(en="Debris", es="Escombro"),
        {
            "volume": "old.volume",
            "density": "density",
            "brick": "brick_off.bricks",
            "brick_weight": "brick_weight",
            "bucket_load": "carry_limit",
            "allowed_load": "allowed_load",
        },
        parts=("debris",),
        blame="old_thickness",
    ),
    Link(
        "faces",
        "tape.add",
        Text(en="The four faces side by side", es="Las cuatro caras juntas"),
        {"length": Made(faces)},
        parts=("repoint",),
        blame="chimney_length",
    ),
    Link(
        "joints",
        "mortar.joints",
        Text(en="Joints to rake and point", es="Juntas que se vacían y se rejuntan"),
        {"wall_length": "faces.total", "wall_height": "repoint_rise", **_BRICK},
        parts=("repoint",),
        blame="repoint_rise",
    ),
    Link(
        "repoint",
        "mortar.repoint",
        Text(en="Mortar for pointing", es="Mortero para rejuntar"),
        {
            "joint_length": "joints.total_length",
            "joint_width": "joint",
            "depth": "rake_depth",
            "waste": "mortar_waste",
            "bag_yield": "mortar_yield",
        },
        parts=("repoint",),
        blame="rake_depth",
    ),
)
LINKS: Final = {link.name: link for link in CHAIN}
