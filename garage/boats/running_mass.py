"""What a boat weighs as she stands: weighed if that is written down, else added up from what is known."""

from garage.measures import Measure


def running_mass(weighed: Measure | None, bare_hull_g: float | None, added: Measure) -> Measure:
    """The running mass in g.

    `weighed` is the setting of that name; `added` the sum of what is on the boat, with a caution if some of
    it was never weighed or computed. A sum leaves packs and prop out, and is nothing without the bare hull. A
    boat with its packs in that weighs less than that sum is told: one of the figures cannot be right any more.
    """
    if weighed is not None and weighed.value is not None:
        cautions = [weighed.caution] if weighed.caution else []
        if bare_hull_g is not None and added.value is not None and weighed.value < bare_hull_g + added.value:
            cautions.append("less than the bare hull and what is on her weigh without packs: weigh again")
        return Measure(weighed.value, "mass", "weighed, with the packs in", "; ".join(cautions))
    if bare_hull_g is None:
        return Measure(None, "mass")
    if added.value is None:
        return Measure(bare_hull_g, "mass", "the bare hull alone, weighed", added.caution)
    total = bare_hull_g + added.value
    return Measure(total, "mass", "added up: bare hull and what is on her, without packs and prop", added.caution)
