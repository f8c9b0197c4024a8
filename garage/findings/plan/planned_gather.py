"""The day planned for a question, ticked off by the runs that were written since."""

from garage.calc.effect.report import is_as_planned
from garage.findings import sheets
from garage.findings.evidence.runs_store import HullRuns
from garage.findings.tables import PlannedRun


def planned_rows(rows: list[PlannedRun], gathered: HullRuns) -> list[sheets.PlannedRow]:
    """The planned runs in their order, each with the first run since that is what was planned and speaks."""
    made = _made(rows, gathered)
    return [
        sheets.PlannedRow(row.id, row.words, row.ticked_at is not None or row.id in made, made.get(row.id))
        for row in rows
    ]


def _made(rows: list[PlannedRun], gathered: HullRuns) -> dict[int, int]:
    """Run ids by ids of planned runs. A run ticks off one planned run only, and none that a person ticked off."""
    names = list(dict.fromkeys(gathered.names.values()))
    found: dict[int, int] = {}
    if not rows:
        return found
    for run_id, run in gathered.runs.items():
        if gathered.rows[run_id].started_at < rows[0].at:
            continue
        for row in rows:
            if row.ticked_at is None and row.id not in found and is_as_planned(row.words, run, names):
                found[row.id] = run_id
                break
    return found
