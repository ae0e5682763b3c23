"""What `trainer doctor` looks at: one function a subject, each of which gives what it found.

Each check takes the place and yields `Found`; one that itself fails is told as wrong. Adding one is a line in CHECKS.
"""

from __future__ import annotations

import os
import shutil
import stat
from collections.abc import Callable, Iterator, Mapping
from contextlib import contextmanager, suppress
from dataclasses import dataclass
from datetime import UTC, datetime, timedelta
from pathlib import Path
from typing import Final, Literal

from sqlalchemy import func, select
from sqlalchemy.exc import DBAPIError

from trainer.cli import copies
from trainer.cli.place import DATABASE, STORE_FILE
from trainer.errors import Refusal, StoreError, TrainerError
from trainer.notices import mail
from trainer.records import history
from trainer.records.models import Event, Shop
from trainer.records.store import Store, open_store

State = Literal["ok", "note", "WRONG"]
LEEWAY: Final = timedelta(minutes=1)  # by which two clocks may differ
LEAST_FREE: Final = 200_000_000  # [bytes]; common practice, no source
COPIES_AGE: Final = timedelta(days=2)
BACK: Final = (
    "Stop the server, move the data folder away, and put a sound copy in place: trainer restore COPY"
)


DAMAGED: Final = f"Do what it says; if the file is damaged: {BACK[0].lower()}{BACK[1:]}"
UNREACHED: Final = f"Start PostgreSQL, and look at the address in {DATABASE}."


@dataclass(frozen=True, slots=True)
class Found:
    """One finding. do: what helps, in one sentence; '' when nothing is needed"""

    state: State
    about: str
    sentence: str
    do: str = ""


@dataclass(frozen=True, slots=True)
class Place:
    """The installation looked at. folder: of the data, which lies elsewhere when TRAINER_DATABASE is set"""

    folder: Path
    environment: Mapping[str, str]
    now: datetime

    @property
    def data(self) -> str | Path:
        return self.environment.get(DATABASE) or self.folder / STORE_FILE

    @contextmanager
    def opened(self) -> Iterator[Store]:
        store = open_store(self.data)
        try:
            yield store
        finally:
            store.close()


Findings = Iterator[Found]
Check = Callable[[Place], Findings]


def examine(place: Place) -> Findings:
    """Every finding, in the order of CHECKS; what lies in the store only when it can be opened."""
    usable = True
    for about, check, needs_store in CHECKS:
        if needs_store and not usable:
            yield Found("note", about, "not looked at, because the data store cannot be used")
            continue
        try:
            for found in check(place):
                usable = usable and not (check is store and found.state == "WRONG")
                yield found
        except (TrainerError, DBAPIError, OSError, ImportError) as error:
            usable = usable and check is not store
            yield Found("WRONG", about, f"it could not be looked at: {_short(error)}")


def store(place: Place) -> Findings:
    """There is a shop, of this program's schema."""
    if isinstance(place.data, Path) and not place.data.is_file():
        yield Found(
            "WRONG", "store", f"there is no shop in {place.folder}",
            "Name its folder with --data, or set one up: trainer init",
        )  # fmt: skip
        return
    try:
        with place.opened() as opened, opened.read() as session:
            shops = session.scalar(select(func.count()).select_from(Shop))
    except ImportError:
        yield Found(
            "WRONG", "store", "the PostgreSQL driver is missing", "pip install 'topping-out[postgresql]'"
        )
        return
    except StoreError as error:
        yield Found("WRONG", "store", str(error), DAMAGED if isinstance(place.data, Path) else UNREACHED)
        return
    if not shops:
        yield Found("WRONG", "store", "the data store holds no shop", "trainer init")
        return
    yield Found("ok", "store", "there is a shop, and its schema is the newest")


def whole(place: Place) -> Findings:
    """The file of the store is sound. PostgreSQL keeps its own files."""
    with place.opened() as opened:
        if opened.engine.dialect.name != "sqlite":
            yield Found("ok", "file", "the data lies in PostgreSQL, which looks after its own files")
            return
        with opened.engine.connect() as connection:
            faults = [str(row[0]) for row in connection.exec_driver_sql("PRAGMA integrity_check")]
            loose = len(connection.exec_driver_sql("PRAGMA foreign_key_check").fetchall())
    if faults != ["ok"]:
        yield Found("WRONG", "file", f"the data file is damaged: {faults[0].splitlines()[-1]}", BACK)
    elif loose:
        yield Found("WRONG", "file", f"{loose} rows of the data file point at nothing", BACK)
    else:
        yield Found("ok", "file", "the data file is sound")


class _Undo(Exception):
    """Ends a write transaction without keeping anything."""


def writing(place: Place) -> Findings:
    """The store takes writing: a row is written and taken back."""
    try:
        with place.opened() as opened, suppress(_Undo), opened.write() as session:
            shop = session.scalars(select(Shop)).one()
            session.execute(Shop.__table__.update().values(name=shop.name))  # type: ignore[attr-defined]
            raise _Undo
    except (StoreError, DBAPIError) as error:
        yield Found(
            "WRONG", "writing", f"the data store takes no writing: {_short(error)}",
            "Look for a program that holds it, a full disk, or a folder that this account may not write.",
        )  # fmt: skip
        return
    yield Found("ok", "writing", "the data store takes writing")


def events(place: Place) -> Findings:
    """The history holds, and the records agree with it."""
    with place.opened() as opened, opened.read() as session:
        found = history.verify(session)
    if found.ok:
        yield Found("ok", "history", f"{found.rows} entries hold together, and the records agree with them")
        return
    first = (*found.faults, *found.differences)[0]
    yield Found(
        "WRONG", "history", f"{len(found.faults) + len(found.differences)} places do not hold: {first.sentence.en}",
        "Someone or something changed the data past the program. The owner's page History names every place; compare with a "
        "copy from before.",
    )  # fmt: skip


def content(place: Place) -> Findings:
    """Every file of lessons and questions can be read."""
    from trainer.web.content import load_content

    read = load_content()
    for problem in read.problems:
        which = "bank" if problem.path.startswith("question_bank") else "lessons"
        yield Found(
            "WRONG", "content", str(problem), f"Mend that file; it is left out until then: trainer {which} check"
        )  # fmt: skip
    if not read.problems:
        yield Found("ok", "content", "every lesson and every question can be read")


def clock(place: Place) -> Findings:
    """Nothing that was written lies in the future."""
    late: list[tuple[datetime, str]] = []
    with suppress(StoreError, ImportError, OSError), place.opened() as opened, opened.read() as session:
        if last := session.scalar(select(func.max(Event.at))):
            late.append((last, "the newest entry of the history"))
    for path in sorted(place.folder.glob("*")) if place.folder.is_dir() else []:
        late.append((datetime.fromtimestamp(path.stat().st_mtime, UTC), str(path)))
    ahead = max(((at, what) for at, what in late if at > place.now + LEEWAY), default=None)
    if ahead is None:
        yield Found("ok", "clock", f"{place.now:%Y-%m-%d %H:%M} UTC, after everything that was written")
        return
    yield Found(
        "WRONG", "clock", f"it is {place.now:%Y-%m-%d %H:%M} UTC here, but {ahead[1]} is of {ahead[0]:%Y-%m-%d %H:%M}",
        "Set this machine's clock by the network (timedatectl set-ntp true); due dates and expiries rest on it.",
    )  # fmt: skip


def post(place: Place) -> Findings:
    """The mail settings can be used; no connection is tried."""
    try:
        settings = mail.settings(place.folder, place.environment)
    except mail.MailSettingsError as error:
        yield Found(
            "WRONG", "mail", str(error), f"Correct {mail.FILE} in the data folder, or the TRAINER_MAIL_ variables."
        )  # fmt: skip
        return
    if settings.host is None:
        yield Found("note", "mail", "no mail server is set, so the daily e-mail is only printed")
    else:
        yield Found(
            "ok", "mail", f"the daily e-mail goes through {settings.host}:{settings.port} (not tried)"
        )


def space(place: Place) -> Findings:
    """There is room for the data, one more copy of it, and what comes."""
    there = next(
        path for path in (place.folder.absolute(), *place.folder.absolute().parents) if path.is_dir()
    )
    free = shutil.disk_usage(there).free
    file = place.folder / STORE_FILE
    needed = max(LEAST_FREE, 3 * file.stat().st_size if file.is_file() else 0)
    said = f"{free // 1_000_000:,} MB are free where the data lies"
    if free < needed:
        yield Found(
            "WRONG", "disk", f"{said}; {needed // 1_000_000:,} MB should be",
            "Make room: remove what is not the shop's, or keep fewer copies (trainer serve --copies).",
        )  # fmt: skip
    else:
        yield Found("ok", "disk", said)


def permissions(place: Place) -> Findings:
    """Only this account may read the data, and it may write it."""
    paths = [place.folder, place.folder / copies.FOLDER, place.folder / mail.FILE]
    paths += [*place.folder.glob(f"{STORE_FILE}*"), *copies.made(place.folder).values()]
    paths += place.folder.glob("shop-before-*")
    there = [path for path in paths if path.exists()]
    wrong = False
    for path in there:
        mode = path.stat().st_mode
        if os.name != "nt" and stat.S_IMODE(mode) & 0o077 and not path.name.endswith(".lock"):
            wrong = True
            yield Found("WRONG", "permissions", f"other accounts may open {path}", f"chmod go-rwx '{path}'")
        if not os.access(path, os.R_OK | os.W_OK | (os.X_OK if path.is_dir() else 0)):
            wrong = True
            yield Found(
                "WRONG", "permissions", f"this account may not read and write {path}",
                "Run this as the account that serves the shop, or give the file to this one with chown.",
            )  # fmt: skip
    if not there:
        yield Found("note", "permissions", f"there is nothing in {place.folder} to look at")
    elif not wrong:
        yield Found("ok", "permissions", "only this account may open the data")


def paper(place: Place) -> Findings:
    """A PDF can be made. Nothing else needs a library of the system; no browser is needed."""
    from trainer.printing import PAPERS, pdf

    try:
        pdf("<!DOCTYPE html><html lang=en><title>A page</title><p>A page</p></html>", PAPERS[0])
    except Refusal as error:
        yield Found(
            "WRONG", "PDF", str(error),
            "Install Pango; on Debian: apt-get install libpango-1.0-0 libpangoft2-1.0-0 libharfbuzz-subset0",
        )  # fmt: skip
        return
    yield Found("ok", "PDF", "job sheets, rosters and cards can be made")


def daily_copies(place: Place) -> Findings:
    """The copies that the server makes are there and fresh."""
    if why := copies.failed(place.folder):
        yield Found(
            "WRONG", "copies", f"the last try made none: {why}",
            "Mend what it says; the server tries again by itself every few minutes.",
        )  # fmt: skip
        return
    # One dated after today was made while a clock was wrong, and must not hide that none came since.
    past = {day: path for day, path in copies.made(place.folder).items() if day <= place.now.date()}
    if not past:
        yield Found("note", "copies", "no daily copy yet; `trainer serve` makes them while it runs")
        return
    day, path = max(past.items())
    age = place.now.date() - day
    if age > COPIES_AGE:
        yield Found(
            "WRONG", "copies", f"the newest, {path.name}, is {age.days} days old",
            "Start the server with `trainer serve` and without --copies 0.",
        )  # fmt: skip
    else:
        yield Found("ok", "copies", f"the newest is {path.name}; keep one away from this machine too")


def _short(error: Exception) -> str:
    return str(getattr(error, "orig", None) or error).splitlines()[0]


# about, check, whether it needs a store that can be opened
CHECKS: Final[tuple[tuple[str, Check, bool], ...]] = (
    ("store", store, False),
    ("file", whole, True),
    ("writing", writing, True),
    ("history", events, True),
    ("content", content, False),
    ("clock", clock, False),
    ("mail", post, False),
    ("disk", space, False),
    ("permissions", permissions, False),
    ("PDF", paper, False),
    ("copies", daily_copies, False),
)
