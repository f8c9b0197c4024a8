"""Questions about what something gained, what was answered when an outing closed, and what the person decided."""

from sqlalchemy import UniqueConstraint
from sqlmodel import Field, SQLModel

from garage.db.columns import choice_check, number_check, utc_check

ABOUTS = ("change", "setting", "prop", "pack", "states")
DECISIONS = ("leave on", "take off", "test again")


class Finding(SQLModel, table=True):
    """A question about one hull. `subject` names the thing: the id of a modification, prop edition or pack; a setting
    with its place; or the ids of two build states, earlier first, with a colon between. `own_causes` is a JSON list of
    the own fields, by number, that may be causes as well."""

    __table_args__ = (
        UniqueConstraint("hull_id", "about", "subject"),
        choice_check("about", ABOUTS),
        utc_check("created_at"),
    )

    id: int = Field(default=None, primary_key=True)
    hull_id: int = Field(foreign_key="hull.id")
    about: str
    subject: str
    created_at: str
    own_causes: str = Field(default="[]", sa_column_kwargs={"server_default": "[]"})


class FindingResult(SQLModel, table=True):
    """The answer as it stood when an outing was closed. Effects in log points."""

    __tablename__ = "finding_result"
    __table_args__ = (
        UniqueConstraint("finding_id", "outing_id"),
        number_check("chance", 0, 1),
        number_check("wide_chance", 0, 1),
        number_check("runs", 0),
        utc_check("at"),
        utc_check("noticed_at"),
    )

    id: int = Field(default=None, primary_key=True)
    finding_id: int = Field(foreign_key="finding.id")
    outing_id: int = Field(foreign_key="outing.id", index=True)
    at: str
    verdict: str
    verdict_before: str = ""
    confirmed: bool = False
    ln: float
    low_ln: float
    high_ln: float
    chance: float
    wide_chance: float
    runs: int
    noticed_at: str | None = Field(default=None, index=True)


class FindingDecision(SQLModel, table=True):
    """What the person decided, with the numbers and the runs (a JSON list of ids) as they stood."""

    __tablename__ = "finding_decision"
    __table_args__ = (choice_check("kind", DECISIONS), utc_check("at"), utc_check("set_aside_at"))

    id: int = Field(default=None, primary_key=True)
    finding_id: int = Field(foreign_key="finding.id", index=True)
    kind: str
    reason: str = ""
    at: str
    offset_min: int = 0
    verdict: str = ""
    numbers: str = ""
    run_ids: str = "[]"
    set_aside_at: str | None = None


class RunChoice(SQLModel, table=True):
    """A run that the person put in or out of a question, against what the page would have picked."""

    __tablename__ = "finding_run_choice"
    __table_args__ = (utc_check("at"),)

    finding_id: int = Field(foreign_key="finding.id", primary_key=True)
    run_id: int = Field(foreign_key="run.id", primary_key=True, index=True)
    is_in: bool
    at: str


class PriorChoice(SQLModel, table=True):
    """An assumption of the model that the person changed."""

    __tablename__ = "prior_choice"
    __table_args__ = (number_check("mean", -5, 5), number_check("sd", 0, 5), utc_check("at"))

    name: str = Field(primary_key=True)
    mean: float
    sd: float
    at: str


class PlannedRun(SQLModel, table=True):
    """One run of the day planned for a question, in its order; ticked once it was made."""

    __tablename__ = "planned_run"
    __table_args__ = (number_check("position", 0), utc_check("at"), utc_check("ticked_at"), utc_check("set_aside_at"))

    id: int = Field(default=None, primary_key=True)
    finding_id: int = Field(foreign_key="finding.id", index=True)
    position: int
    words: str
    half_width_now: float
    half_width_after: float
    at: str
    ticked_at: str | None = None
    set_aside_at: str | None = None
