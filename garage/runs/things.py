"""What this room keeps, for whoever attaches something to it, searches it, or brings it back."""

from garage.fields.definition import searched
from garage.runs.fields import FIELDS, INCIDENT_FIELDS, PACK_FIELDS, PICKED, TEMPERATURE_FIELDS, WAY
from garage.things import OWN_TEXTS, Binned, Found, Kind, takes_fields, texts

_CALLED = "'run ' || t.number || ' of ' || substr(t.started_at, 1, 10) || ', ' || hull.name"
RUN = Kind(
    "run",
    "run",
    joins="JOIN hull ON hull.id = t.hull_id",
    title="'Run ' || t.number || ', ' || hull.name",
    called=_CALLED,
    url="'/runs/' || t.id",
    in_use="t.set_aside_at IS NULL",
    aside="t.set_aside_at IS NOT NULL",
    at="t.started_at",
    offset_min="t.offset_min",
    found=Found(
        "run",
        12,
        "Runs",
        "'run ' || {row}.number",
        texts(*searched(FIELDS, "text"), "set_aside_reason") + " || ' ' || " + OWN_TEXTS,
    ),
    binned=Binned("run", _CALLED, "'/runs/' || t.id", "'/runs/' || t.id || '/bring-back'"),
    takes=takes_fields("run", "Runs", (*FIELDS, *PACK_FIELDS, *TEMPERATURE_FIELDS, WAY), "run", PICKED),
)
_RUN_WITHIN = "'run ' || run.number || ', ' || hull.name"


def _of_run(name: str, table: str, title: str, aside: str, found: Found, binned: Binned | None = None) -> Kind:
    """A kind whose rows belong to a run: shown on its page, dated by its start."""
    return Kind(
        name,
        table,
        title,
        url="'/runs/' || t.run_id",
        joins="JOIN run ON run.id = t.run_id JOIN hull ON hull.id = run.hull_id",
        aside=aside,
        at="run.started_at",
        offset_min="run.offset_min",
        found=found,
        binned=binned,
    )


INCIDENT = _of_run(
    "incident",
    "incident",
    title=f"t.kind || ' in ' || {_RUN_WITHIN}",
    aside="t.set_aside_at IS NOT NULL",
    found=Found(
        "incident",
        13,
        "Incidents",
        texts(*searched(INCIDENT_FIELDS, "title")),
        texts(*searched(INCIDENT_FIELDS, "text")),
    ),
    binned=Binned(
        "incident",
        "t.kind || ' in run ' || run.number || ' of ' || substr(run.started_at, 1, 10)",
        "'/runs/' || t.run_id",
        "'/runs/' || t.run_id || '/incidents/' || t.id || '/bring-back'",
    ),
)
TEMPERATURE = _of_run(
    "temperature",
    "run_temperature",
    title=f"t.spot || ' after ' || {_RUN_WITHIN}",
    aside="run.set_aside_at IS NOT NULL",
    found=Found("temperature", 22, "Temperatures after runs", "''", texts(*searched(TEMPERATURE_FIELDS, "text"))),
)
THINGS = (RUN, INCIDENT, TEMPERATURE)
