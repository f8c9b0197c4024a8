"""Closing an outing belongs here: it is the moment at which findings are judged, not after each run."""

from garage.findings.judging import judge_outing
from garage.waters.outing_store import close_outing as close
from garage.web.desk import Desk
from garage.web.pages import Done, Pages

pages = Pages()


@pages.action("/outings/{outing_id:int}/close")
def close_outing(desk: Desk, outing_id: int) -> Done:
    close(desk.session, outing_id, desk.moment.utc)
    desk.session.flush()
    changed = judge_outing(desk.session, outing_id, desk.moment, desk.units)
    told = {0: "", 1: " One finding has changed: see Home."}.get(
        changed, f" {changed} findings have changed: see Home."
    )
    return Done(f"/outings/{outing_id}", f"The outing is closed.{told}", undo=f"/outings/{outing_id}/reopen")
