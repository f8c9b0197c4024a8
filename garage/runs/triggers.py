"""What the database itself refuses, so that a slip in our own code cannot rewrite what a run rests on.

A run rests on its own build state and on every state of that hull with a lower number, on the changes that made
them and on the steps those changes took in. UPDATE, DELETE and REPLACE are refused: REPLACE deletes without firing
delete triggers, so an insert with an existing id or key is refused as well; and so is an update by which one row
would take another's id or key (UPDATE OR REPLACE deletes that other without a word).
"""

from garage.db.triggers import append_only, refusal

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
    refusal(
        "run_pin_moved",
        "UPDATE OF state_id, hull_id, id",
        "run",
        "NEW.id <> OLD.id OR NEW.hull_id <> OLD.hull_id OR (NEW.state_id <> OLD.state_id AND NOT EXISTS ("
        "SELECT 1 FROM pin_move AS move WHERE move.run_id = OLD.id AND move.from_state_id = OLD.state_id"
        " AND move.to_state_id = NEW.state_id"
        " AND move.id = (SELECT max(last.id) FROM pin_move AS last WHERE last.run_id = OLD.id)))",
        "a run keeps its build state: move it through the ledger of moved pins",
    ),
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
    *append_only("pin_move"),
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
