"""Brick: courses in a height, brick in a wall.

brick.courses, brick.count
"""

from __future__ import annotations

from typing import Any

from trainer.calc import cautions
from trainer.calc.algebra import PERCENT, SQIN_PER_SQFT, plain, round_down, round_up
from trainer.calc.spec import Input, Quantity, calculation
from trainer.errors import Refusal
from trainer.languages import Text

# Modular brick, 7 5/8 x 2 1/4 in with a 3/8 in joint: BIA Technical Note 10, from memory.
BRICK_LENGTH = Input(
    "brick_length",
    "l",
    "in",
    Text(en="length of a brick", es="largo del ladrillo"),
    default=7.625,
    low=2.0,
    high=24.0,
)
BRICK_HEIGHT = Input(
    "brick_height",
    "b",
    "in",
    Text(en="height of a brick", es="alto del ladrillo"),
    default=2.25,
    low=1.0,
    high=12.0,
)
JOINT = Input(
    "joint",
    "j",
    "in",
    Text(en="mortar joint", es="junta de mortero"),
    default=0.375,
    low=0.0625,
    high=1.5,
)
WALL_LENGTH = Input(
    "wall_length", "L", "in", Text(en="length of the wall", es="largo de la pared"), low=2.0, high=2400.0
)
WALL_HEIGHT = Input(
    "wall_height", "H", "in", Text(en="height of the wall", es="alto de la pared"), low=2.0, high=2400.0
)


@calculation(
    "brick.courses",
    title=Text(en="Brick courses", es="Hiladas de ladrillo"),
    purpose=Text(
        en="Whole courses that fit in a height, and the joint that makes them fill it.",
        es="Hiladas enteras que caben en una altura, y la junta con que la llenan.",
    ),
    inputs=(
        Input("height", "H", "in", Text(en="height to fill", es="altura por llenar"), low=1.0, high=2400.0),
        BRICK_HEIGHT,
        JOINT,
    ),
    quantities=(
        Quantity(
            "courses_exact", "n", "count", Text(en="courses before rounding", es="hiladas sin redondear")
        ),
        Quantity("courses", "N", "count", Text(en="whole courses", es="hiladas enteras")),
        Quantity(
            "joint_for_fit",
            "j_f",
            "in",
            Text(en="joint that makes them fill the height", es="junta con que llenan la altura"),
        ),
    ),
    results=("courses", "joint_for_fit"),
    sources=("geometry", "bia-tn-10"),
    notes=(
        Text(
            en="2 1/4 in brick and a 3/8 in joint are the modular sizes, from memory. Measure yours.",
            es="Ladrillo de 2 1/4 in y junta de 3/8 in son las medidas modulares, de memoria. Mida los suyos.",
        ),
    ),
    sample={"height": "8 ft 1 in"},
)
def courses(v: Any) -> None:
    """One bed joint to a course. Raises Refusal when not one course fits."""
    v.courses_exact = v.height / (v.brick_height + v.joint)
    v.courses = round_down(v.courses_exact)
    if v.courses < 1:
        raise Refusal(
            Text(
                en="height %(height)g in is less than one course of %(course)g in; give at least that.",
                es="height %(height)g in es menos que una hilada de %(course)g in; dé por lo menos eso.",
            ),
            height=float(plain(v.height)),
            course=float(plain(v.brick_height)) + float(plain(v.joint)),
        )
    v.joint_for_fit = v.height / v.courses - v.brick_height


@calculation(
    "brick.count",
    title=Text(en="Brick in a wall", es="Ladrillos de una pared"),
    purpose=Text(
        en="Brick to order for one wythe of a wall, openings not taken out.",
        es="Ladrillos que se piden para una pared de un ladrillo de ancho, sin restar huecos.",
    ),
    inputs=(
        WALL_LENGTH,
        WALL_HEIGHT,
        BRICK_LENGTH,
        BRICK_HEIGHT,
        JOINT,
        Input(
            "waste",
            "m",
            "percent",
            Text(en="allowance for breakage", es="desperdicio por rotura"),
            default=5.0,
            high=100.0,
        ),
    ),
    quantities=(
        Quantity("wall_area", "A", "ft2", Text(en="area of the wall", es="área de la pared")),
        Quantity(
            "bricks_per_area",
            "n_1",
            "1/ft2",
            Text(en="brick in a square foot", es="ladrillos por pie cuadrado"),
        ),
        Quantity(
            "bricks_exact",
            "n",
            "count",
            Text(en="brick with breakage before rounding", es="ladrillos con desperdicio, sin redondear"),
        ),
        Quantity(
            "bricks",
            "N",
            "count",
            Text(en="brick to order", es="ladrillos que se piden"),
            rounds="bricks_exact",
        ),
    ),
    results=("bricks_per_area", "bricks"),
    sources=("geometry", "bia-tn-10", "builders-pocketbook"),
    notes=(
        Text(
            en="The modular brick and joint are from memory. 5 % for breakage is an old pocketbook's.",
            es="El ladrillo y la junta modulares son de memoria. El 5 % por rotura es de un libro viejo.",
        ),
    ),
    sample={"wall_length": "9 ft 10 in", "wall_height": "7 ft 10 1/2 in"},
    cautions=(cautions.SILICA,),
)
def count(v: Any) -> None:
    """Each brick takes its face and one joint each way."""
    v.wall_area = v.wall_length * v.wall_height / SQIN_PER_SQFT
    v.bricks_per_area = SQIN_PER_SQFT / ((v.brick_length + v.joint) * (v.brick_height + v.joint))
    v.bricks_exact = v.wall_area * v.bricks_per_area * (1 + v.waste / PERCENT)
    v.bricks = round_up(v.bricks_exact)
