"""The fields of a service, and of the rules of when one is due."""

from garage.fields.definition import Field
from garage.states.tables import PLACES

SERVICE_KINDS = ("greased", "shaft looked at", "throttle calibrated", "cleaned", "bearings looked at", "other")

FIELDS = (
    Field("kind", "What was done", "choice", choices=SERVICE_KINDS, required=True, searched="title", listed=False),
    Field(
        "place", "Where", "choice",
        choices=tuple(zip(PLACES, ("all of it, or there is only one", "left", "right"), strict=True)),
        default="single", listed=False,
    ),
    Field("at", "When", "moment", column="at", required=True, listed=False),
    Field(
        "note", "Note", hint="what you found: wear, water in the grease, play", most=400, searched="text", listed=False
    ),
)  # fmt: skip

# Asked for once for each kind, so under names of their own (`forms.rule_fields`).
RULE_FIELDS = (
    Field("kind", "Service", "choice", choices=SERVICE_KINDS, required=True, asked=""),
    Field("runs", "Runs", "whole", low=1, high=1000, asked=""),
    Field("minutes", "Minutes run", "minutes", low=1, high=10000, column="minutes", asked=""),
)
