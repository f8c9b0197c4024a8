"""Routes of the assumptions: what the model takes for granted, changeable in one place."""

from garage.calc.effect.priors import DEFAULT_PRIORS, meanings
from garage.findings import sheets, store
from garage.web.desk import Desk
from garage.web.pages import Done, Pages

pages = Pages()


@pages.sheet("/findings/assumptions", "findings/assumptions.html")
def show_priors(desk: Desk) -> sheets.PriorsSheet:
    (now, by_readings), rows = store.assumptions(desk.session), []
    values: dict[str, str] = {}
    for name, meaning in meanings().items():
        prior, usual = getattr(now, name), getattr(DEFAULT_PRIORS, name)
        rows.append(sheets.PriorRow(name, meaning, prior.mean, prior.sd, f"{usual.mean:g}, give or take {usual.sd:g}"))
        values |= {f"{name}_mean": f"{prior.mean:g}", f"{name}_sd": f"{prior.sd:g}"}
    values["by_readings"] = "yes" if by_readings else ""
    return sheets.PriorsSheet(rows, values)


@pages.action("/findings/assumptions", on_error=show_priors)
def keep_priors(desk: Desk) -> Done:
    reader, chosen = desk.reader(), {}
    for name in meanings():
        usual = getattr(DEFAULT_PRIORS, name)
        mean = reader.number(f"{name}_mean", low=-1, high=1, required=True)
        sd = reader.number(f"{name}_sd", low=0 if name == "pass_sd" else 0.0001, high=2, required=True)
        if mean is not None and sd is not None and (mean, sd) != (usual.mean, usual.sd):
            chosen[name] = (mean, sd)
    by_readings = reader.flag("by_readings")
    reader.finish()
    store.keep_priors(desk.session, chosen, by_readings, desk.moment.utc)
    return Done("/findings/assumptions", "Saved. Every answer uses them from now on.")


@pages.action("/findings/assumptions/usual")
def back_to_usual(desk: Desk) -> Done:
    store.keep_priors(desk.session, {}, False, desk.moment.utc)
    return Done("/findings/assumptions", "Back to the usual assumptions.")
