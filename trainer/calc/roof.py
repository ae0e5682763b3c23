"""The roof underfoot.

roof.slope
"""

from __future__ import annotations

from typing import Any, Final

from trainer.calc.algebra import DEGREES_PER_RADIAN, IN_PER_FT, arctangent, square_root
from trainer.calc.spec import Input, Quantity, calculation
from trainer.languages import Text

LOW_SLOPE_RISE: Final = 4.0  # 29 CFR 1926.500(b): low-slope is 4 in 12 or less


@calculation(
    "roof.slope",
    title=Text(en="Roof slope", es="Pendiente del techo"),
    purpose=Text(
        en="Angle of a roof, how much longer the slope is than its run, and whether it counts as low-slope.",
        es="Ángulo del techo, cuánto más larga es la pendiente que su avance, y si es de baja pendiente.",
    ),
    inputs=(
        Input(
            "rise",
            "r",
            "in/ft",
            Text(en="rise in 12 inches of run", es="subida en 12 pulgadas de avance"),
            low=0.0,
            high=48.0,
        ),
    ),
    quantities=(
        Quantity("ratio", "q", "", Text(en="rise over run", es="subida entre avance")),
        Quantity("angle", "α", "degree", Text(en="angle of the roof", es="ángulo del techo")),
        Quantity(
            "slope_factor",
            "k",
            "",
            Text(en="length on the slope for each unit of run", es="largo inclinado por avance"),
        ),
        Quantity(
            "low_slope",
            "low",
            "",
            Text(en="low-slope (4 in 12 or less)", es="baja pendiente (4 en 12 o menos)"),
            kind="flag",
        ),
    ),
    results=("angle", "slope_factor", "low_slope"),
    sources=("geometry", "osha-1926-500"),
)
def slope(v: Any) -> None:
    """Right triangle of rise and 12 in of run."""
    v.ratio = v.rise / IN_PER_FT
    v.angle = arctangent(v.ratio) * DEGREES_PER_RADIAN
    v.slope_factor = square_root(1 + v.ratio**2)
    v.low_slope = bool(v.rise <= LOW_SLOPE_RISE)
