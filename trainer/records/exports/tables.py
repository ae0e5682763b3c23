"""Which tables can be taken out: one row of a table is one row of the store.

Of each person the number and the name stand in a row, so that a table can be read without the others. No password,
code, key or form token is in any of them.
"""

from __future__ import annotations

from typing import Final

from trainer.records.exports import of_papers, of_people, of_regrades, of_shop
from trainer.records.exports.export import Export

TABLES: Final[tuple[Export, ...]] = (
    of_people.PEOPLE,
    of_people.ROLES,
    of_people.ABSENCES,
    of_people.CREWS,
    of_people.CREW_PEOPLE,
    of_people.LESSONS,
    of_people.PLACES,
    of_people.CHECKS,
    of_people.ACCEPTED,
    of_people.PRACTICE,
    of_papers.QUIZZES,
    of_papers.REPEATS,
    of_papers.PAPERS,
    of_papers.DRAWN,
    of_papers.ANSWERS,
    of_papers.HINTS,
    of_papers.GRADE_CHANGES,
    of_papers.COMMENTS,
    of_regrades.REGRADES,
    of_regrades.REGRADED,
    of_regrades.DOUBTS,
    of_regrades.SENT_BACK,
    of_regrades.ENTRIES,
    of_shop.SIGN_OFFS,
    of_shop.PHOTOS,
    of_shop.CERTIFICATES,
    of_shop.GRANTS,
    of_shop.SUSPENSIONS,
    of_shop.RULES,
    of_shop.STANDARDS,
    of_shop.SHOP,
    of_shop.JOBS,
    of_shop.FILES,
    of_shop.LINKS,
    of_shop.DIGESTS,
    of_shop.HISTORY,
)

# Tables of the store that are never taken out: what lets someone in, and what the program alone needs.
LEFT_OUT: Final = {"entry_code", "sign_in_try", "second_step", "web_session", "history_head"}
