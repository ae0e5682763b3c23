"""One chimney, typed as it would be on the form, with every part of the work."""

from __future__ import annotations

import pytest

from trainer import takeoff

TYPED = {
    "chimney_length": "40 1/2 in",
    "chimney_width": "24 in",
    "flue_1": "13 x 13 in",
    "above_wall_1": "12 in",
    "flue_2": "8 1/2 x 13 in",
    "above_wall_2": "6 in",
    "flue_thickness": "5 1/2 in",
    "pitch": "8 in 12",
    "poured_on": "2026-12-01",
    "coverage": "50 ft2/gal",
    "wall_thickness": "7/8 in",
    "blade_diameter": "7 in",
    "flange_diameter": "2 in",
    "ridge_distance": "9 ft",
    "old_thickness": "3 in",
    "brick_rise": "16 in",
    "brick_depth": "3 5/8 in",
    "repoint_rise": "4 ft",
}


@pytest.fixture
def typed() -> dict[str, str]:
    return dict(TYPED)


@pytest.fixture
def whole() -> takeoff.TakeOff:
    return takeoff.run(takeoff.read(TYPED, takeoff.PARTS))
