"""What a phone types at the door."""

from dataclasses import dataclass

from garage.web.fields import Reader


@dataclass(frozen=True)
class PairFormData:
    """Code and name as typed."""

    code: str
    name: str


def read_pair(reader: Reader) -> PairFormData:
    """The code and the phone's name. Raises FormErrors."""
    form = PairFormData(
        code=reader.text("code", required=True, most=40),
        name=reader.text("name", required=True, most=60),
    )
    reader.finish()
    return form
