"""Run in a copy of the source: writes a new field through the form and tells, as JSON, where it is then found.

`python look_for_added_field.py FOLDER`, FOLDER being a garage of the schema before the field.
"""

import json
import sys
import zipfile
from datetime import UTC, datetime
from pathlib import Path

from starlette.testclient import TestClient

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
        found["search"] = client.get("/search?q=thistledown").text
    export(folder, folder / "export.zip", NOW)
    with zipfile.ZipFile(folder / "export.zip") as archive:
        found |= {f"export {kind}": archive.read(f"{kind}/hull.{kind}").decode("utf-8-sig") for kind in ("json", "csv")}
    return found


if __name__ == "__main__":
    print(json.dumps(look(Path(sys.argv[1]))))
