"""The quizzes of the demo's shop that use more than a mark and a due time: goes, weekly, opening later, deciding early."""

from __future__ import annotations

from datetime import timedelta
from typing import TYPE_CHECKING, Final

from trainer.records.shop import zone_in_shop
from trainer.records.weekly import Weekly

if TYPE_CHECKING:
    from trainer.cli.demo_shop import Demo

EARLY_SKILLS: Final = {"slab-size": 8, "slab-volume": 5, "bag-count": 4, "bar-count": 4}
SHORT_SKILLS: Final = {"tape-reading": 2, "when-to-stop": 1}
# What the trainer wants right whatever the score, beside the bank's own.
MUST: Final = ("sheet-reach-factor",)


def assign(demo: Demo) -> None:
    """Ana's evidence sufficed early; she and Tom get a short quiz each week; Rosa's opens tomorrow at six."""
    early = demo.assigns("Slab and bags until it is clear", ["ana"], EARLY_SKILLS, 5, 6, decide=demo.deciding)
    demo.sits("ana", early["ana"], 4)
    takers = ["ana", "tom"]
    weekly = Weekly((), tuple(demo.actors[who].id for who in takers), None)
    short = demo.assigns("Three a week", takers, SHORT_SKILLS, 3, 4, mark=60, weekly=weekly)
    demo.sits("ana", short["ana"], 2, wrong=[1])
    with demo.store.read() as session:
        there = demo.now.astimezone(zone_in_shop(session))
    opens = (there + timedelta(days=1)).replace(hour=6, minute=0, second=0, microsecond=0)
    demo.assigns(
        "Before you go back up",
        ["rosa"],
        {"fall-protection": 2, "roof-slope": 1},
        1,
        6,
        mark=90,
        opens=opens,
        must=MUST,
        goes=2,
        wait_hours=24,
    )
