"""The kinds of question. A kind is a module that ends in its `Kind`; one line here makes it known to the engine."""

from __future__ import annotations

from typing import Final

from trainer.questions.kinds import choose, faults, linked, number, order, several
from trainer.questions.kinds.kind import Kind

KINDS: Final[dict[str, Kind]] = {
    "number": number.KIND,
    "choose": choose.KIND,
    "faults": faults.KIND,
    "linked": linked.KIND,
    "several": several.KIND,
    "order": order.KIND,
}
