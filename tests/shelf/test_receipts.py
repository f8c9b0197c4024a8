"""A picture that is a receipt: with the form of what a thing cost, with what is attached, and in its block of facts."""

import io
import zipfile
from pathlib import Path

import pytest
from PIL import Image

from garage.archive.export import export
from tests.conftest import NOW
from tests.shelf.test_lending import THINGS

each = pytest.mark.parametrize("owner", THINGS)
PAID = {"price": "24.9", "currency": "EUR", "place": "left drawer"}


def _picture(ink: int) -> bytes:
    out = io.BytesIO()
    Image.new("L", (40, 30), ink).save(out, "PNG")
    return out.getvalue()


@each
def test_a_receipt_is_kept_with_the_price_and_shown_with_it(client, owner):
    url, new, form = THINGS[owner]
    client.post(new, data=form)
    own = owner in ("receiver", "instrument", "charger")
    address, typed = (f"{url}/1/edit", form | PAID) if own else (f"/shelf/{owner}/1", {"quantity": "1"} | PAID)
    assert 'name="receipt_files"' in client.get(address).text
    refused = client.post(address, data=typed, files={"receipt_files": ("bill.png", b"no picture", "image/png")})
    assert refused.status_code == 422 and 'id="e-receipt_files"' in refused.text and "24.9" in refused.text
    assert "left drawer" not in client.get(f"{url}/1").text
    page = client.post(address, data=typed, files={"receipt_files": ("bill.png", _picture(9), "image/png")}).text
    assert "<dt>Receipt</dt>" in page and "24.90 EUR" in page and "left drawer" in page
    sheet = client.get(f"{url}/1.json").json()
    block = sheet.get("shelf") or sheet["keeping"]
    (receipt,) = block["receipts"]
    assert receipt["role"] == "receipt" and client.get(receipt["src"]).status_code == 200


def test_an_attachment_is_made_a_receipt_and_is_none_again(client, app, tmp_path: Path):
    url, new, form = THINGS["hull"]
    client.post(new, data=form)
    assert "checked" in client.get("/attachments/hull/1?receipt=yes").text
    refused = client.post("/attachments/hull/1", data={"attach_text": "paid", "attach_receipt": "yes"})
    assert refused.status_code == 422 and 'id="e-attach_receipt"' in refused.text
    link = {"attach_url": "https://reed.example/bill", "attach_text": "the bill", "attach_receipt": "yes"}
    assert "<dt>Receipt</dt>" in client.post("/attachments/hull/1", data=link).text
    export(app.state.settings.data_dir, tmp_path / "export.zip", NOW)
    with zipfile.ZipFile(tmp_path / "export.zip") as archive:
        assert b'"receipt"' in archive.read("json/attachment.json")
    values = client.get("/attachments/1/edit.json").json()["values"]
    assert values.pop("attach_receipt") == "yes"
    assert "<dt>Receipt</dt>" not in client.post("/attachments/1/edit", data=values).text


def test_a_run_has_no_receipt(client):
    assert "attach_receipt" not in client.get("/attachments/unsorted").text
