"""Spreadsheets of past runs: the file as it came, how its columns were read, each row's outcome, what came of it."""

from sqlmodel import Field, SQLModel

from garage.db.columns import number_check, utc_check


class PastImport(SQLModel, table=True):
    """One spreadsheet. `choices` is JSON: which column is what, and what holds for all rows."""

    __tablename__ = "past_import"
    __table_args__ = (
        number_check("size_bytes", 0),
        utc_check("looked_at"),
        utc_check("taken_in_at"),
        utc_check("taken_back_at"),
        utc_check("created_at"),
    )

    id: int = Field(default=None, primary_key=True)
    sha256: str = Field(index=True)
    name: str
    size_bytes: int
    choices: str = "{}"
    looked_at: str | None = None
    taken_in_at: str | None = None
    taken_back_at: str | None = None
    created_at: str


class PastImportLine(SQLModel, table=True):
    """One row of a spreadsheet as it was understood, or why it was refused; with the run that came of it."""

    __tablename__ = "past_import_line"

    import_id: int = Field(foreign_key="past_import.id", primary_key=True)
    row: int = Field(primary_key=True)
    said: str = ""
    refused: str = ""
    run_id: int | None = Field(default=None, foreign_key="run.id", index=True)


class PastImportOuting(SQLModel, table=True):
    """An outing that was begun for the runs of a spreadsheet."""

    __tablename__ = "past_import_outing"

    import_id: int = Field(foreign_key="past_import.id", primary_key=True)
    outing_id: int = Field(foreign_key="outing.id", primary_key=True)
