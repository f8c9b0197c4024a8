"""What stands against putting something right, two who do it at once, and what is said of it afterwards."""

import pytest

from tests.mending.hands import Hands


@pytest.fixture(autouse=True)
def _nothing_is_read(monkeypatch: pytest.MonkeyPatch) -> None:
    # What a preview says is held against the pages elsewhere, and is dear.
    monkeypatch.setattr("garage.mending.preview.readings", lambda *_: {})


@pytest.mark.parametrize(
    ("way", "words", "help_at"),
    [
        (("run", 1, "boat", [("boat", "3")]), "was built on 4 May 2025", "/hulls/3"),
        (("run", 227, "start", [("started", "2026-10-30T10:00")]), "The outing was on 31", "/otherwise/run/227/outing"),
        (("run", 227, "place", [("place", "5")]), "clocks that somebody looked at", "/otherwise/run/227/start"),
        (("run", 227, "start", [("started", "2026-10-31T10:36")]), "was going on at 10:35", "/otherwise/run/226"),
        (("run", 226, "swap", [("other", "230"), ("what", "state")]), "of two boats", "/otherwise/run/226/boat"),
        (("outing", 54, "day", [("day", "2019-01-05")]), "", "/hulls/"),
    ],
)  # fmt: skip
def test_what_cannot_be_is_refused_in_words_that_lead_to_where_it_is_put_right(hands: Hands, way, words, help_at):
    sheet = hands.ahead(*way)
    assert sheet["ahead"] is None and words in sheet["stands_against"]
    assert any(url.startswith(help_at) for url, _ in sheet["helps"]), sheet["helps"]
    assert hands.post(*way, seen="").status_code == 422
    assert hands.rows("SELECT count(*) FROM mending") == [(0,)]


def test_of_two_who_put_the_same_run_right_the_second_looks_once_more(hands: Hands):
    first = ("run", 226, "packs", [("pack", "13")])
    second = ("run", 226, "packs", [("pack", "14")])
    seen = hands.ahead(*second)["ahead"]["mark"]
    hands.save(*first)
    answer = hands.post(*second, seen=seen)
    assert answer.status_code == 422 and "look once more" in answer.text and 'name="seen"' in answer.text
    assert hands.rows("SELECT pack_id FROM run_pack WHERE run_id = 226") == [(13,)]
    hands.save(*second)
    assert hands.rows("SELECT pack_id FROM run_pack WHERE run_id = 226") == [(14,)]


def test_what_was_written_over_or_taken_back_is_not_taken_back_again(hands: Hands):
    first = hands.save("run", 226, "packs", [("pack", "13")])
    second = hands.save("run", 226, "packs", [("pack", "14")])
    answer = hands.take_back(first)
    assert answer.status_code == 422 and "Brindle, run 1 of 31 October 2026: the packs" in answer.text
    assert hands.take_back(second).status_code == 303 and hands.take_back(first).status_code == 303
    again = hands.take_back(first)
    assert again.status_code == 422 and "taken back already" in again.text


def test_an_outing_with_a_run_that_was_written_since_is_not_set_aside(hands: Hands):
    done = hands.save("outing", 54, "part", [("runs", "230"), ("began", "2026-10-31T10:01"), ("water", "1")])
    new = hands.rows("SELECT max(id) FROM outing")[0][0]
    run = {"hull": "1", "outing": str(new), "kind": "speed", "pack": "6", "prop_single": "14"}
    assert hands.client.post("/runs/new", data=run).status_code == 303
    written = hands.rows("SELECT max(id) FROM run")[0][0]
    back = hands.take_back(done)
    assert back.status_code == 422 and f"/otherwise/run/{written}/outing" in back.text
    assert hands.rows("SELECT set_aside_at FROM outing WHERE id = ?", new) == [(None,)]
    hands.client.post(f"/runs/{written}/set-aside", data={"reason": "twice"})
    assert hands.rows("SELECT set_aside_at IS NULL FROM run WHERE id = ?", written) == [(0,)]
    assert hands.take_back(done).status_code == 303


def test_a_run_and_an_outing_say_what_they_were_until_when_with_the_way_to_it(hands: Hands):
    done = hands.save("outing", 54, "day", [("day", "2026-10-30")], "Friday it was")
    run = " ".join(hands.client.get("/runs/226").text.split())
    assert (
        'The day was <span class="was">31 October 2026</span> until 25 November 2026, 09:00, is 30 October 2026'
        f' (Friday it was) <a href="/otherwise/done/{done}">put right</a>' in run
    )
    outing = hands.client.get("/outings/54").text
    assert "31 October 2026, 09:15" in outing or "31 October 2026, 10:15" in outing
    assert "T09:15" not in outing
    moved = hands.save("outing", 54, "water", [("water", "2")])
    assert "Low Quarry Pool" in hands.client.get("/outings/54").text
    assert hands.client.get(f"/otherwise/done/{moved}").status_code == 200


def test_a_pack_that_was_not_known_comes_back_with_what_was_read_off_it(hands: Hands):
    before = hands.rows("SELECT * FROM run_pack WHERE run_id = 226")
    hands.save("run", 226, "packs", [("pack", "none")])
    assert hands.rows("SELECT not_known FROM run WHERE id = 226") == [("pack",)]
    pack_id = str(before[0][1] if before[0][0] == 226 else before[0][0])
    hands.save("run", 226, "packs", [("pack", pack_id)])
    assert hands.rows("SELECT * FROM run_pack WHERE run_id = 226") == before
    assert hands.rows("SELECT not_known FROM run WHERE id = 226") == [("",)]


def test_two_outings_of_a_day_become_one_with_all_that_hangs_on_the_other(hands: Hands):
    runs = "SELECT id, number FROM run WHERE outing_id = 54 ORDER BY id"
    before = hands.rows(runs)
    parted = [("runs", "227"), ("runs", "230"), ("began", "2026-10-31T10:15"), ("water", "2"), ("conditions", "yes")]
    hands.save("outing", 54, "part", parted)
    (other,) = hands.rows("SELECT max(id) FROM outing")[0]
    assert hands.rows("SELECT id, number FROM run WHERE outing_id = ? ORDER BY id", other) == [(227, 1), (230, 2)]
    sheet = hands.ahead("outing", 54, "join", [("other", str(other))])
    assert any("Low Quarry Pool" in note for note in sheet["ahead"]["notes"])
    hands.save("outing", 54, "join", [("other", str(other))])
    assert hands.rows(runs) == before
    assert hands.rows("SELECT set_aside_at IS NOT NULL FROM outing WHERE id = ?", other) == [(1,)]
    assert hands.rows("SELECT count(*) FROM log_file WHERE outing_id = ?", other) == [(0,)]
