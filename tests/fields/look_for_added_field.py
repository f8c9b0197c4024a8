"""Run in a copy of the source: writes a new field through the form and tells, as JSON, where it is then found.

`python look_for_added_field.py FOLDER`, FOLDER being a garage of the schema before the field.
"""

import json
import sys
import zipfile
from dataclasses import asdict
from datetime import UTC, datetime
from pathlib import Path

from starlette.testclient import TestClient

from garage.api import Garage
from garage.app import create_app
from garage.archive.export import export
from garage.settings import Settings

NOW = datetime(2026, 5, 9, 14, 30, tzinfo=UTC)
FORM = {"name": "Quince", "kind": "mono", "screws": "1"}
PROP = {"code": "P1", "size": "42 x 58", "blades": "2", "hand": "right", "condition": "good", "rake": "10"}
PACK = {"code": "J", "cells_s": "3", "capacity": "4000", "lead": "18 cm"}
ENTRY = {"kind": "charge", "at": "2026-05-04T10:00", "charge": "3000", "charger": "the grey box"}
PART = {"code": "M1", "kv_stated": "1950", "winding": "delta, 6 turns"}
MORE_ADDRESSES = "/props/1 /packs/1 /packs/1/edit /packs/1/log /packs/1/log.csv /packs.json /drives/1"
MENDED = {"diameter": "42", "pitch": "58", "condition": "good", "rake": "15°", "why": "read off the wrong scale"}
RUN = {
    "hull": "1", "water": "1", "pack": "1", "speed": "80", "kind": "speed", "wave": "2 in",
    "launched_by": "Marjoram & Sons",
}  # fmt: skip
SPREADSHEET = "date;top speed;wave height (cm)\n2025-05-03;70;4\n"
COLUMNS = {
    "column_date": "0", "column_speed": "1", "column_wave": "2", "unit_wave": "cm", "all_hull": "2",
    "all_water": "Hollow Mere", "date_order": "year first",
}  # fmt: skip


def look(folder: Path) -> dict[str, str]:
    """Every place where the field may be found, with the text that stands there."""
    app = create_app(Settings(folder, hosts=("testserver",), clock=lambda: NOW))
    with TestClient(app) as client:
        found = {"page before": client.get("/hulls/1").text, "form": client.get("/hulls/1/edit").text}
        found["refused"] = client.post("/hulls/1/edit", data=FORM | {"draught": "9 m"}).text
        typed = {"draught": "1 3/8 in", "moulded_by": "Thistledown & Co"}
        assert client.post("/hulls/1/edit", data=FORM | typed).status_code == 200
        found |= {
            address: client.get(address).text
            for page in ("/hulls", "/hulls/1", "/hulls/1/edit")
            for address in (page, f"{page}.json", f"{page}.csv")
        }
        assert client.post("/props/new", data=PROP).status_code == 200
        assert client.post("/props/1/editions/1/mend", data=MENDED).status_code == 200
        assert client.post("/packs/new", data=PACK).status_code == 200
        assert client.post("/packs/1/log", data=ENTRY).status_code == 200
        assert client.post("/drives/new?kind=motor", data=PART).status_code == 200
        for address in MORE_ADDRESSES.split():
            found[address] = client.get(address).text
        found["search part"] = client.get("/search?q=delta").text
        found |= _steps(client)
        found["search"] = client.get("/search?q=thistledown").text
        found |= _look_at_runs(client)
    export(folder, folder / "export.zip", NOW)
    with zipfile.ZipFile(folder / "export.zip") as archive:
        found |= {f"export {kind}": archive.read(f"{kind}/hull.{kind}").decode("utf-8-sig") for kind in ("json", "csv")}
        found["export run"] = archive.read("json/run.json").decode()
    with Garage(folder) as garage:
        rows = {"hull": garage.hulls(), "run": garage.runs(), "pack": garage.packs(), "prop": garage.props()}
        found["library"] = json.dumps({name: [asdict(row) for row in listed] for name, listed in rows.items()})
    return found


def _look_at_runs(client: TestClient) -> dict[str, str]:
    """The places where the fields of a run may be found: written in the form, changed in the evening, read from a
    spreadsheet."""
    for address, typed in (("/waters/new", {"name": "Hollow Mere"}), ("/runs/new", RUN)):
        assert client.post(address, data=typed).status_code == 200
    addresses = ("/runs/new?hull=1", "/runs/1", "/runs/1/edit", "/runs/1.json", "/runs.csv", "/outings/1/evening")
    found = {address: client.get(address).text for address in addresses}
    found["refused run"] = client.post("/runs/new", data=RUN | {"wave": "9 m"}).text
    found["refused cell"] = client.post("/outings/1/evening", data={"r1_here": "1", "r1_wave": "9 m"}).text
    evening = {"r1_here": "1", "r1_prop_single": "", "r1_speed": "80", "r1_wave": "2.5 in", "why": "misread"}
    assert client.post("/outings/1/evening", data=evening | {"n1_hull": "1", "n1_pack": "J"}).status_code == 200
    found |= {"corrected run": client.get("/runs/1").text, "run without": client.get("/runs/2").text}
    # Another boat: this one's states begin with her first run.
    assert client.post("/hulls/new", data={"name": "Medlar", "kind": "mono"}).status_code == 200
    assert client.post("/import", files={"sheet": ("old.csv", SPREADSHEET)}).status_code == 200
    assert client.post("/import/1", data=COLUMNS).status_code == 200
    assert client.post("/import/1/take-in").status_code == 200
    return found | {"run of old": client.get("/runs/3.json").text, "search run": client.get("/search?q=marjoram").text}


def _steps(client: TestClient) -> dict[str, str]:
    """A modification with one step that has the field and one that has it not, fitted."""
    client.post("/hulls/1/modifications/new", data={"title": "Fin", "permanence": "removable"})
    for what, more in (("the edge", {"grit": "240"}), ("the face", {})):
        typed = {"action": "sand", "what": what, "count": "1", "done": "2026-05-09T10:00"} | more
        assert client.post("/modifications/1/steps/new", data=typed).status_code == 200
    assert client.post("/modifications/1/fit", data={"at": "2026-05-09T12:00"}).status_code == 200
    found = {page: client.get(page).text for page in ("/steps/1", "/steps/1.json", "/steps/1/edit")}
    with client.app.state.engine.connect() as connection:
        detail = connection.exec_driver_sql("SELECT detail FROM change WHERE kind = 'fit'").scalar_one()
    kept = [{name: step[name] for name in ("grit", "masked") if name in step} for step in json.loads(detail)["steps"]]
    return found | {
        "/modifications/1.json": client.get("/modifications/1.json").text,
        "kept of the steps": json.dumps(kept),
    }


if __name__ == "__main__":
    print(json.dumps(look(Path(sys.argv[1]))))
