"""Crews: people who work together, named so that all of them can be chosen at once."""

from __future__ import annotations

from sqlalchemy import ForeignKey
from sqlalchemy.orm import Mapped, mapped_column, relationship

from trainer.records.models.base import Base


class Crew(Base):
    """A crew. name_key: the name as names are compared, so that no two crews look the same."""

    __tablename__ = "crew"

    id: Mapped[int] = mapped_column(primary_key=True)
    name: Mapped[str]
    name_key: Mapped[str] = mapped_column(unique=True)

    members: Mapped[list[CrewMember]] = relationship(
        lazy="raise", cascade="all, delete-orphan", order_by="CrewMember.person_id"
    )

    @property
    def people(self) -> list[int]:
        """The ids of its people, in order; they must be loaded."""
        return sorted(member.person_id for member in self.members)


class CrewMember(Base):
    __tablename__ = "crew_member"

    crew_id: Mapped[int] = mapped_column(ForeignKey("crew.id"), primary_key=True)
    person_id: Mapped[int] = mapped_column(ForeignKey("person.id"), primary_key=True)
