"""Mortar joints: how much joint a wall has, and the mortar to repoint it.

mortar.joints, mortar.repoint
"""

from __future__ import annotations

from typing import Any, Final

from trainer.calc import cautions
from trainer.calc.algebra import IN_PER_FT, PERCENT, SQIN_PER_SQFT, round_up
from trainer.calc.brick import BRICK_HEIGHT, BRICK_LENGTH, JOINT, WALL_HEIGHT, WALL_LENGTH
from trainer.calc.spec import Input, Quantity, calculation
from trainer.languages import Text

# Joint widths to rake out before repointing: a masonry trade journal on restoring joints in historic buildings.
RAKE_LOW: Final = 2.0
RAKE_HIGH: Final = 2.5


@calculation(
    "mortar.joints",
    title=Text(en="Length of mortar joints", es="Largo de las juntas de mortero"),
    purpose=Text(
        en="Joint to rake and point on one face of a wall in running bond.",
        es="Junta que se vacía y se rellena en una cara de pared con el ladrillo traslapado a la mitad.",
    ),
    inputs=(WALL_LENGTH, WALL_HEIGHT, BRICK_LENGTH, BRICK_HEIGHT, JOINT),
    quantities=(
        Quantity("bed_length", "l_b", "ft", Text(en="bed joints, all", es="juntas horizontales, todas")),
        Quantity("head_length", "l_h", "ft", Text(en="head joints, all", es="juntas verticales, todas")),
        Quantity("total_length", "l_T", "ft", Text(en="joint to point", es="junta por rellenar")),
        Quantity(
            "joint_area_ratio",
            "r",
            "",
            Text(en="share of the face that is joint", es="parte de la cara que es junta"),
        ),
    ),
    results=("bed_length", "head_length", "total_length", "joint_area_ratio"),
    sources=("geometry",),
    sample={"wall_length": "9 ft 10 in", "wall_height": "7 ft 10 1/2 in"},
    cautions=(cautions.SILICA,),
)
def joints(v: Any) -> None:
    """A bed joint to every course and a head joint to every brick, parts of a course counted by their share."""
    v.bed_length = v.wall_height / (v.brick_height + v.joint) * v.wall_length / IN_PER_FT
    v.head_length = (
        v.wall_height
        / (v.brick_height + v.joint)
        * (v.wall_length / (v.brick_length + v.joint))
        * v.brick_height
        / IN_PER_FT
    )
    v.total_length = v.bed_length + v.head_length
    v.joint_area_ratio = 1 - v.brick_length * v.brick_height / (
        (v.brick_length + v.joint) * (v.brick_height + v.joint)
    )


@calculation(
    "mortar.repoint",
    title=Text(en="Mortar for repointing", es="Mortero para rejuntar"),
    purpose=Text(
        en="How deep to rake the joints, and the mortar and bags to fill them.",
        es="Qué tan hondo se vacían las juntas, y el mortero y los sacos para rellenarlas.",
    ),
    inputs=(
        Input(
            "joint_length",
            "l",
            "ft",
            Text(en="joint to repoint", es="junta por rejuntar"),
            low=0.1,
            high=100000.0,
        ),
        Input(
            "joint_width",
            "j",
            "in",
            Text(en="width of the joints", es="ancho de las juntas"),
            default=0.375,
            low=0.0625,
            high=2.0,
        ),
        Input(
            "depth",
            "d",
            "in",
            Text(
                en="depth raked out; 2 1/2 joint widths unless given",
                es="profundidad; 2 1/2 anchos si no se da",
            ),
            default=None,
            low=0.125,
            high=6.0,
        ),
        Input(
            "waste",
            "m",
            "percent",
            Text(en="allowance for waste", es="desperdicio"),
            default=10.0,
            high=200.0,
        ),
        Input(
            "bag_yield",
            "y",
            "ft3",
            Text(
                en="yield printed on the bag of mortar, which governs",
                es="rendimiento impreso en el saco de mortero, que es el que manda",
            ),
            default=0.6,
            low=0.05,
            high=5.0,
        ),
    ),
    quantities=(
        Quantity(
            "depth_low",
            "d_1",
            "in",
            Text(en="least depth, 2 joint widths", es="profundidad mínima, 2 anchos"),
        ),
        Quantity(
            "depth_high",
            "d_2",
            "in",
            Text(en="usual depth, 2 1/2 joint widths", es="profundidad usual, 2 1/2 anchos"),
        ),
        Quantity("depth_filled", "d_f", "in", Text(en="depth to fill", es="profundidad por rellenar")),
        Quantity("volume", "V", "ft3", Text(en="mortar with waste", es="mortero con desperdicio")),
        Quantity("bags_exact", "n", "count", Text(en="bags before rounding", es="sacos sin redondear")),
        Quantity("bags", "N", "count", Text(en="bags of mortar", es="sacos de mortero"), rounds="bags_exact"),
    ),
    results=("depth_low", "depth_high", "volume", "bags"),
    sources=("masonry-journal", "bag-label", "common-practice"),
    notes=(
        Text(
            en="0.6 ft³ to a bag of mortar and 10 % of waste are our own figures without a source: the bag's "
            "label governs.",
            es="0.6 ft³ por saco de mortero y 10 % de desperdicio son cifras nuestras, sin fuente: manda la "
            "etiqueta del saco.",
        ),
    ),
    sample={"joint_length": "340 ft"},
    cautions=(cautions.SILICA, cautions.WET_CEMENT),
)
def repoint(v: Any) -> None:
    """Length × width × depth with its waste, over the yield of one bag, rounded up."""
    v.depth_low = RAKE_LOW * v.joint_width
    v.depth_high = RAKE_HIGH * v.joint_width
    v.depth_filled = v.depth_high if v.depth is None else v.depth
    v.volume = v.joint_length * v.joint_width * v.depth_filled / SQIN_PER_SQFT * (1 + v.waste / PERCENT)
    v.bags_exact = v.volume / v.bag_yield
    v.bags = round_up(v.bags_exact)
