"""What the person prefers to read."""

from sqlmodel import Field, SQLModel


class Preference(SQLModel, table=True):
    """One preference by name, such as the unit for a field of measure."""

    name: str = Field(primary_key=True)
    value: str
