"""Every kind of save that a person makes with the demo: the page with its form, where that goes, and what is typed."""

from typing import NamedTuple

from tests.queries import MOST_IN_A_SAVE


class Save(NamedTuple):
    """A form as it stands on a page of the demo, sent to `action` with what was `typed` over it; a list is a field that
    is sent several times, `sheet` a table sent as a file. `most` is a number of its own for a save that asks more than
    a save should, which it may not go above again; `again` is how often it asks something once more, because it wrote
    that meanwhile."""

    page: str
    action: str
    typed: dict[str, str | list[str]] = {}
    sheet: str = ""
    most: int = MOST_IN_A_SAVE
    again: int = 0


_NOTE = {"attach_text": "Rubbed in the bend of the tube."}
_NAMED = {"name": "Meadow"}
_HIGHER = {"set_strut_height_single": "4", "note": "Up two millimetres."}
_MUCH = {**_HIGHER, "fit_15": "yes", "take_out_22": "yes", "take_off_4": "yes"}
_READ = {"cells": "1.9 2.0 1.9 2.1", "temperature": "21", "state_of_charge": "50"}
_WEATHER = {"started": "2026-10-31T09:15", "air": "14", "wind": "3", "weed": ""}
_WHY = {"why": "misread", "reason": "misread"}
_END = {"retired_on": "2026-11-20", "retired_how": "other", "retired_reason": "broke"}
_PAST = "date;boat;water;pack;prop;speed km/h\n" + "".join(
    f"2024-05-0{day};Brindle;Low Quarry Pool;K;P1;5{day}\n" for day in range(1, 6)
)

_MENDED = 50

SAVES = [
    # Runs and outings
    Save(
        "/runs/new?hull=1&outing=54",
        "/runs/new",
        {"pack": "6", "prop_single": "", "prop_single_code": "P1"},
    ),
    Save(
        "/runs/new?hull=1",
        "/runs/new",
        {"pack": "6", "speed": "70", "kept_speed": "70", "new_water": "Mill Pond", "water": ""},
        # A new outing and a new water beside it, and what the boat did before.
        most=16,
    ),
    Save("/runs/226/edit", "/runs/226/edit"),
    Save(
        "/runs/226/edit",
        "/runs/226/edit",
        {"speed": "60", "duration": "170", "pack1_charge": "1700", **_WHY},
        # What the boat did before is asked for where a speed is changed.
        most=16,
    ),
    # Another pack and another prop: both are looked up and questioned as in a new run (4), and what the boat did before
    # (1), the ledger is told (2), both packs' logs are written (3), and what is never measured is not asked for (1).
    Save("/runs/226/edit", "/runs/226/edit", {"pack_code_1": "J", "prop_single_code": "P1", **_WHY}, most=23),
    Save("/runs/226", "/runs/226/incidents", {"i1_kind": "flip", "i1_damaged": "yes"}),
    Save("/runs/226", "/runs/226/set-aside", _WHY),
    Save("/bin", "/runs/91/bring-back"),
    Save("/runs/227", "/runs/227/try-next/done"),
    # What is put right is worked out once more as it was looked at, held against all that was written of these days,
    # and written into the ledgers of each run: six runs of a day, a run among those of another, the packs of two.
    Save("/otherwise/outing/54/day?look=yes&day=2026-10-30", "/otherwise/outing/54/day", _WHY, most=_MENDED, again=7),
    Save("/otherwise/run/227/outing?look=yes&outing=53", "/otherwise/run/227/outing", _WHY, most=_MENDED, again=7),
    Save("/otherwise/run/226/packs?look=yes&pack=13&also=227", "/otherwise/run/226/packs", _WHY, most=_MENDED, again=7),
    Save("/outings/new", "/outings/new", {"water": "2"}),
    Save(
        "/outings/54/edit",
        "/outings/54/edit",
        {"started": "2026-10-31T09:15", "air": "14", "wind": "3", "weed": "", "why": "misread"},
    ),
    Save("/outings/54", "/outings/54/close"),
    Save("/outings/53", "/outings/53/reopen"),
    Save("/outings/54", "/outings/54/wave"),
    Save("/outings/54/evening", "/outings/54/evening"),
    Save(
        "/outings/54/evening",
        "/outings/54/evening",
        {"r226_speed": "61", "r227_note": "Calm.", **_WHY},
        # What a boat did before is asked for once for each boat whose speed is changed.
        most=16,
    ),
    Save("/outings/54/evening", "/outings/54/evening", {"r226_swap_packs": "227", "day_air": "14"}, most=32),
    Save("/outings/open", "/outings/many/54/close"),
    Save("/logs/6", "/logs/6/cut"),
    Save("/logs/6", "/logs/6/runs"),
    Save("/logs/6", "/logs/6/aside"),
    Save("/logs/6/pieces/1", "/logs/6/pieces/1/speed", {"which": "both"}),
    Save("/import", "/import", sheet=_PAST),
    # Boats and what is done to them
    Save("/hulls/new", "/hulls/new", {**_NAMED, "kind": "mono"}),
    Save("/hulls/1/edit", "/hulls/1/edit", {"length": "736"}),
    Save("/hulls/1/retire", "/hulls/1/retire", _END),
    Save("/hulls/1/lists", "/hulls/1/lists", {"text": "Look at the rudder screw"}),
    Save("/hulls/3/changes/new", "/hulls/3/changes/new", _HIGHER),
    Save("/hulls/3/changes/new", "/hulls/3/changes/new", _MUCH),
    Save("/hulls/1/states/15/mend", "/hulls/1/states/15/mend", {"what": "set:strut_height@single", "new": "3", **_WHY}),
    Save("/hulls/1/states/15/withdraw", "/hulls/1/states/15/withdraw", _WHY),
    Save("/hulls/3/modifications/new", "/hulls/3/modifications/new", {"title": "Longer rudder"}),
    Save("/modifications/13/edit", "/modifications/13/edit", {"title": "Wedge in the tunnel"}),
    Save("/modifications/13/fit", "/modifications/13/fit", {"done": ["38", "39", "40"]}),
    Save("/modifications/11/take-off", "/modifications/11/take-off"),
    Save("/modifications/13/drop", "/modifications/13/drop", _WHY),
    Save("/modifications/13", "/modifications/13/steps", {"what": "the wedge"}),
    Save("/modifications/13/steps/new", "/modifications/13/steps/new", {"action": "cut", "what": "a second wedge"}),
    Save("/steps/38/edit", "/steps/38/edit", {"width": "106"}),
    Save("/steps/33/mend", "/steps/33/mend", {"what": "holes in the transom", **_WHY}),
    Save("/modifications/13", "/steps/40/tick"),
    Save("/modifications/13", "/steps/38/down"),
    Save("/modifications/13", "/steps/38/set-aside"),
    Save("/hulls/3/service/new", "/hulls/3/service/new", {"kind": "greased"}),
    # Packs, props, parts and what lies on the shelf
    Save("/packs/new", "/packs/new", {"cells_s": "3", "capacity": "4000"}),
    Save("/packs/6/edit", "/packs/6/edit", {"mass": "525"}),
    Save("/packs/6/retire", "/packs/6/retire", _END),
    Save("/packs/6/damage", "/packs/6/damage", {"words": "a dent in the corner"}),
    Save("/packs/6", "/packs/6/log"),
    Save("/packs/1", "/packs/1/log/4/set-aside"),
    Save("/packs/log", "/packs/log", {"p1": "yes", "p14": "yes", "p13": "yes"}),
    Save(
        "/packs/6/readings",
        "/packs/6/readings",
        {"cells": "1.9 2.0 1.9 2.1", "temperature": "21", "state_of_charge": "50"},
    ),
    Save("/packs/sets", "/packs/sets", {"name": "Pair", "codes": "A B"}),
    Save("/packs/sets", "/packs/sets/2/part"),
    Save("/props/new", "/props/new", {"diameter": "42", "pitch": "60"}),
    Save("/props/1/edit", "/props/1/edit", {"bore": "5 mm"}),
    Save("/props/1/retire", "/props/1/retire", _END),
    Save("/props/1/rework", "/props/1/rework", {"reworks": "sharpened", "pitch": "59"}),
    Save("/props/1/editions/3/mend", "/props/1/editions/3/mend", {"pitch": "59", "diameter": "41.2", **_WHY}),
    Save("/drives/new?kind=GPS%20unit", "/drives/new?kind=GPS%20unit", _NAMED),
    Save("/drives/11/edit", "/drives/11/edit", {"mass": "33"}),
    Save("/drives/11/retire", "/drives/11/retire", _END),
    Save("/stock/supplies/new", "/stock/supplies/new", _NAMED),
    Save("/stock/supplies/4/edit", "/stock/supplies/4/edit", {"counted_in": "sticks"}),
    Save("/shelf/supply/2", "/shelf/supply/2", {"quantity": "2"}),
    Save("/chargers/new", "/chargers/new", _NAMED),
    Save("/instruments/new", "/instruments/new", {**_NAMED, "kind": "scale"}),
    Save("/waters/new", "/waters/new", _NAMED),
    Save("/waters/2", "/waters/2", {"course": "90"}),
    Save("/waters/2/retire", "/waters/2/retire", _END),
    # Questions
    Save("/hulls/1/findings", "/findings/ask"),
    Save("/hulls/1/findings", "/hulls/1/findings/states"),
    Save("/findings/10/decide", "/findings/10/decide", {"kind": "leave on", "reason": "She is steadier."}),
    # What is kept is the plan worked out once more: the evidence (11) and what can still be run (3).
    Save("/findings/9/plan", "/findings/9/plan", {"side": ["with", "without"], "pack": ["L", "M"]}, most=20),
    Save("/findings/11", "/findings/11/runs/116/in"),
    Save("/findings/assumptions", "/findings/assumptions", {"change_sd": "0.07", "pack_sd": "0.05"}),
    # Notes, and how the notebook shows itself
    Save("/runs/226", "/attachments/run/226", _NOTE),
    Save("/", "/attachments/quick", _NOTE),
    Save("/attachments/unsorted", "/attachments/13/sort", {"belongs_to": "run:231"}),
    Save("/attachments/12/edit", "/attachments/12/edit", {"attach_text": "Thermometer: new battery."}),
    Save("/attachments/unsorted", "/attachments/13/aside"),
    Save("/preferences", "/preferences", {"unit_speed": "mph", "unit_length": "in"}),
    Save("/preferences/instruments", "/preferences/instruments", {"never_charge": "yes", "never_ride": "yes"}),
]
