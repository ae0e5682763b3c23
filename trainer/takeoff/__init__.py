"""The take-off of one chimney: its numbers entered once, the calculations chained, one job sheet.

    FIELDS, PARTS, GROUPS    what is entered
    read, read_field         typed texts → a Job; one of them
    shop_texts               what a fresh form begins with
    run                      a Job → a TakeOff
    sheet                    what the job sheet says of a TakeOff

No formula stands here: every figure comes from trainer.calc.
"""

from __future__ import annotations

from trainer.takeoff import sheet
from trainer.takeoff.chain import CHAIN
from trainer.takeoff.fields import FIELDS, GROUPS, PARTS, Field, read_field, shop_texts, when_empty
from trainer.takeoff.links import Link
from trainer.takeoff.run import Job, Outcome, TakeOff, read, run

__all__ = [
    "CHAIN",
    "FIELDS",
    "GROUPS",
    "PARTS",
    "Field",
    "Job",
    "Link",
    "Outcome",
    "TakeOff",
    "read",
    "read_field",
    "run",
    "sheet",
    "shop_texts",
    "when_empty",
]
