"""What the database itself refuses, so that a slip in our own code cannot rewrite what a run rests on.

A run rests on its own build state and on every state of that hull with a lower number, on the changes that made
them and on the steps those changes took in. UPDATE, DELETE and REPLACE are refused: REPLACE deletes without firing
delete triggers, so an insert with an existing id or key is refused as well; and so is an update by which one row
would take another's id or key (UPDATE OR REPLACE deletes that other without a word).
"""

from garage.db.triggers import Trigger, append_only, refusal

_RESTED_ON = """EXISTS (SELECT 1 FROM build_state AS later JOIN run ON run.state_id = later.id
    WHERE later.hull_id = {hull} AND later.number >= {number})"""


def _state_rested_on(row: str) -> str:
    return _RESTED_ON.format(hull=f"{row}.hull_id", number=f"{row}.number")


def _state_of_change_rested_on(state_id: str) -> str:
    resting = _RESTED_ON.format(hull="mine.hull_id", number="mine.number")
    return f"EXISTS (SELECT 1 FROM build_state AS mine WHERE mine.id = {state_id} AND {resting})"


_STEP_RESTED_ON = (
    "OLD.in_change_id IS NOT NULL AND EXISTS (SELECT 1 FROM change AS taken WHERE taken.id = OLD.in_change_id AND "
    + _state_of_change_rested_on("taken.state_id")
    + ")"
)
_FROZEN = "a run rests on this {}: write a correction, or put the change in at its date"

_FROM_TO = "move.from_value = CAST(OLD.{column} AS TEXT) AND move.to_value = CAST(NEW.{column} AS TEXT)"
_IN_LEDGER = "a run keeps its {}: move it through the ledger of moved runs"


def _last_move(what: str, run_id: str, says: str) -> str:
    """Whether the last line of the ledger about `what` of a run says so."""
    return (
        f"EXISTS (SELECT 1 FROM run_move AS move WHERE {says} AND move.id = (SELECT max(last.id) FROM run_move AS last"
        f" WHERE last.run_id = {run_id} AND last.what = '{what}'))"
    )


def _part_of_a_run(table: str, what: str, columns: tuple[str, ...], key: str, words: str) -> list[Trigger]:
    """A pack or a prop that a run was made with goes only where the ledger says that the run has it there no more."""

    def listed(value: str) -> str:
        same = " AND ".join(f"one.value ->> '{column}' = OLD.{column}" for column in columns)
        return f"EXISTS (SELECT 1 FROM json_each(move.{value}) AS one WHERE {same})"

    gone = "NOT " + _last_move(what, "OLD.run_id", f"{listed('from_value')} AND NOT {listed('to_value')}")
    other = " OR ".join(f"NEW.{column} <> OLD.{column}" for column in ("run_id", *columns))
    there = f"EXISTS (SELECT 1 FROM {table} AS old WHERE old.run_id = NEW.run_id AND old.{key} = NEW.{key})"
    return [
        refusal(f"{table}_gone", "DELETE", table, gone, _IN_LEDGER.format(words)),
        refusal(f"{table}_moved", "UPDATE", table, f"({other}) AND {gone}", _IN_LEDGER.format(words)),
        refusal(f"{table}_replaced", "INSERT", table, there, f"this {words} of a run is there already"),
    ]


TRIGGERS = [
    refusal("build_state_frozen_update", "UPDATE", "build_state", _state_rested_on("OLD"), _FROZEN.format("state")),
    refusal("build_state_frozen_delete", "DELETE", "build_state", _state_rested_on("OLD"), _FROZEN.format("state")),
    refusal(
        "build_state_frozen_replace",
        "INSERT",
        "build_state",
        "EXISTS (SELECT 1 FROM build_state AS old WHERE old.id = NEW.id"
        " OR (old.hull_id = NEW.hull_id AND old.number = NEW.number) OR old.mark = NEW.mark)",
        "this build state is there already",
    ),
    refusal(
        "build_state_key_kept",
        "UPDATE",
        "build_state",
        "NEW.id <> OLD.id OR NEW.hull_id <> OLD.hull_id OR NEW.number <> OLD.number",
        "a build state keeps its hull and number",
    ),
    refusal(
        "build_state_mark_taken",
        "UPDATE OF mark",
        "build_state",
        "EXISTS (SELECT 1 FROM build_state AS other WHERE other.id <> OLD.id AND other.mark = NEW.mark)",
        "another build state bears this mark",
    ),
    refusal(
        "change_frozen_update",
        "UPDATE",
        "change",
        _state_of_change_rested_on("OLD.state_id"),
        _FROZEN.format("change"),
    ),
    refusal(
        "change_frozen_delete",
        "DELETE",
        "change",
        _state_of_change_rested_on("OLD.state_id"),
        _FROZEN.format("change"),
    ),
    refusal(
        "change_frozen_insert",
        "INSERT",
        "change",
        "EXISTS (SELECT 1 FROM change AS old WHERE old.id = NEW.id) OR " + _state_of_change_rested_on("NEW.state_id"),
        _FROZEN.format("state"),
    ),
    refusal(
        "change_key_kept",
        "UPDATE",
        "change",
        "NEW.id <> OLD.id OR NEW.state_id <> OLD.state_id",
        "a change keeps its build state",
    ),
    refusal("step_key_kept", "UPDATE", "step", "NEW.id <> OLD.id", "a step keeps its id"),
    refusal("step_frozen_update", "UPDATE", "step", _STEP_RESTED_ON, _FROZEN.format("step")),
    refusal("step_frozen_delete", "DELETE", "step", _STEP_RESTED_ON, _FROZEN.format("step")),
    refusal(
        "step_frozen_replace",
        "INSERT",
        "step",
        "EXISTS (SELECT 1 FROM step AS old WHERE old.id = NEW.id)",
        "this step is there already",
    ),
    refusal("run_id_kept", "UPDATE OF id", "run", "NEW.id <> OLD.id", "a run keeps its id"),
    *(
        refusal(
            f"run_{what}_moved",
            f"UPDATE OF {column}",
            "run",
            f"NEW.{column} <> OLD.{column} AND NOT " + _last_move(what, "OLD.id", _FROM_TO.format(column=column)),
            _IN_LEDGER.format(words),
        )
        for what, column, words in (
            ("state", "state_id", "build state"),
            ("boat", "hull_id", "boat"),
            ("outing", "outing_id", "outing"),
        )
    ),
    refusal(
        "run_start_moved",
        "UPDATE OF started_at",
        "run",
        "NEW.started_at <> OLD.started_at AND NOT "
        + _last_move(
            "start", "OLD.id", "move.from_value ->> 'at' = OLD.started_at AND move.to_value ->> 'at' = NEW.started_at"
        ),
        _IN_LEDGER.format("start"),
    ),
    *_part_of_a_run("run_pack", "packs", ("pack_id",), "pack_id", "pack"),
    *_part_of_a_run("run_prop", "props", ("place", "edition_id"), "place", "prop"),
    refusal(
        "run_number_taken",
        "UPDATE OF outing_id, number",
        "run",
        "EXISTS (SELECT 1 FROM run AS other WHERE other.id <> OLD.id"
        " AND other.outing_id = NEW.outing_id AND other.number = NEW.number)",
        "another run of that outing has this number",
    ),
    refusal("run_kept", "DELETE", "run", "1", "a run is set aside, never erased"),
    refusal(
        "run_replaced",
        "INSERT",
        "run",
        "EXISTS (SELECT 1 FROM run AS old WHERE old.id = NEW.id"
        " OR (old.outing_id = NEW.outing_id AND old.number = NEW.number))",
        "this run is there already",
    ),
    *append_only("run_move"),
    *append_only("mending"),
    *append_only("supersession"),
    *append_only("fingerprint"),
    refusal(
        "fingerprint_taken",
        "INSERT",
        "fingerprint",
        "EXISTS (SELECT 1 FROM fingerprint AS old WHERE old.mark = NEW.mark"
        " OR (old.fingerprint = NEW.fingerprint AND old.state_id = NEW.state_id))",
        "this mark is given already",
    ),
    *append_only("correction"),
]
