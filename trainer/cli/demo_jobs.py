"""The take-offs that the demo's shop kept."""

from __future__ import annotations

from datetime import timedelta
from typing import TYPE_CHECKING, Final

from trainer.records import jobs

if TYPE_CHECKING:
    from trainer.cli.demo_shop import Demo

TWO_FLUES: Final = {
    "chimney_length": "40 1/2 in",
    "chimney_width": "24 in",
    "flue_1": "13 x 13 in",
    "above_wall_1": "12 in",
    "flue_2": "8 1/2 x 13 in",
    "above_wall_2": "6 in",
    "flue_thickness": "5 1/2 in",
    "bag": "60 lb",
    "board": "2x6",
    "coverage": "60 ft2/gal",
    "pitch": "8 in 12",
    "ridge_distance": "9 ft",
    "old_thickness": "2 1/2 in",
}
PARTS: Final = ("steel", "sealant", "coating", "flues", "height", "debris")


def keep(demo: Demo) -> None:
    """One job, measured three days ago and poured two days from now."""
    poured = (demo.now + timedelta(days=2)).date()
    with demo.store.write() as session:
        jobs.save(
            session,
            demo.actors["abel"],
            demo.at(3),
            title="Two flues on Quarry Lane",
            texts=TWO_FLUES | {"poured_on": poured.isoformat()},
            parts=PARTS,
            token=demo.token(),
        )
