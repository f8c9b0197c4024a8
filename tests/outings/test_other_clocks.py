"""A day written down by other clocks than this machine's: its form, saved as it stands, changes nothing."""

import pytest
from sqlmodel import Session

from garage.moments import Moment
from garage.runs.tables import Run
from garage.waters.tables import Outing
from tests.forms import read_page
from tests.seeded import at, inventory

# No place has clocks an hour and eleven minutes ahead of anywhere, so that no machine is of here.
ELSEWHERE = 71


@pytest.fixture
def day(session: Session) -> tuple[int, int]:
    """An outing and a run of it, both written down elsewhere."""
    garage = inventory(session)
    outing_id = garage.outing("05-03")
    run = garage.run(outing_id, at("05-03", "09:20"))
    for row in (session.get(Outing, outing_id), run):
        row.offset_min = ELSEWHERE
        session.add(row)
    run.start_time_known = True
    session.commit()
    return outing_id, run.id


def moments(session: Session, outing_id: int, run_id: int) -> tuple[Moment, Moment]:
    session.expire_all()
    rows = session.get(Outing, outing_id), session.get(Run, run_id)
    return tuple(Moment(row.started_at, row.offset_min) for row in rows)


@pytest.mark.parametrize("which", ["outing", "run"])
def test_a_form_saved_as_it_stands_moves_no_moment(client, session, day, which):
    outing_id, run_id = day
    before = moments(session, *day)
    address = f"/outings/{outing_id}/edit" if which == "outing" else f"/runs/{run_id}/edit"
    form = next(form for form in read_page(client.get(address).text, address)[0] if form.action == address)
    session.commit()
    answer = client.post(address, data=form.data)
    assert answer.status_code == 200 and answer.url.path != address, answer.text[-3000:]
    assert moments(session, *day) == before


def test_a_time_typed_anew_is_of_the_clocks_on_the_spot(client, session, day):
    outing_id, run_id = day
    began = moments(session, *day)[0]
    address = f"/outings/{outing_id}/edit"
    form = next(form for form in read_page(client.get(address).text, address)[0] if form.action == address)
    typed = began.local_text()[:11] + "00:30"
    session.commit()
    client.post(address, data=form.data | {"started": typed, "why": "looked at the clock again"})
    found = moments(session, outing_id, run_id)[0]
    assert (found.local_text(), found.offset_min) == (typed, ELSEWHERE)
