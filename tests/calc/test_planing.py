"""Planing after Savitsky 1964: its own example, its equations, porpoising, limits, and openplaning beside it."""

import math
import warnings

import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from garage.calc import planing
from tests.published import CHECKS, holds, named, value

_FOOT = 0.3048
_LBF = 4.4482216152605
_SLUG_FT3 = 515.378818393
_G = 32.174 * _FOOT
_SPEED = 67.5 * _FOOT
_BOAT = planing.Hull(60000 * _LBF / _G, 14 * _FOOT, 10, 29 * _FOOT, 2 * _FOOT, 4, 0.5 * _FOOT)
_SEA = planing.Water(1.94 * _SLUG_FT3, 1.1e-5 * _FOOT**2, _G, "schoenherr")
_TRIALS = (2, 3, 4)
_MODEL = planing.Hull(2.5, 0.20, 18, 0.22, 0.04)
_POND = planing.Water(998.2, 1.0e-6)


def _at(trim_deg: float) -> planing.Attitude:
    return planing.attitude(_BOAT, _SPEED, _SEA, trim_deg)


def _balanced(water: planing.Water = _SEA) -> planing.Attitude:
    found = planing.equilibrium(_BOAT, _SPEED, water)
    assert found is not None
    return found


@pytest.mark.parametrize(("check", "name"), named("PLAN-01", "Cv"))
def test_speed_coefficient_of_the_paper(check, name):
    assert holds(planing.speed_coefficient(_SPEED, _BOAT.beam_m, _G), check, name)


@pytest.mark.parametrize(("check", "name"), named("PLAN-02", "CL_beta"))
def test_lift_coefficient_of_the_paper(check, name):
    assert holds(planing.lift_coefficient(_BOAT.mass_kg, _BOAT.beam_m, _SPEED, _SEA), check, name)


@pytest.mark.parametrize(("check", "name"), named("PLAN-03", "CL0_exact", "CL0_chart"))
def test_flat_equivalent_lift(check, name):
    assert holds(planing.flat_equivalent(0.069265, 10), check, name)


@pytest.mark.parametrize(("check", "name"), named("PLAN-04", "lambda_exact", "lambda_paper"))
def test_wetted_lengths_at_trial_trims(check, name):
    assert holds([_at(trim).wetted_ratio for trim in _TRIALS], check, name)


@pytest.mark.parametrize(("check", "name"), named("PLAN-05", "Df_exact_lbf", "Df_paper_lbf"))
def test_friction_drag_at_two_degrees(check, name):
    assert holds(_at(2).friction_drag_n / _LBF, check, name)


@pytest.mark.parametrize(("check", "name"), named("PLAN-06", "Cf"))
def test_friction_coefficients_of_the_paper(check, name):
    assert holds([planing.schoenherr(re) for re in CHECKS[check]["inputs"]["Re"]], check, name)


@pytest.mark.parametrize(("check", "name"), named("PLAN-07", "tau_deg", "lambda", "D_lbf", "EHP", "tau_paper_deg"))
def test_equilibrium_of_the_paper(check, name):
    found = _balanced()
    computed = {
        "tau_deg": found.trim_deg,
        "lambda": found.wetted_ratio,
        "D_lbf": found.drag_n / _LBF,
        "EHP": found.drag_n * _SPEED / (550 * _LBF * _FOOT),
        "tau_paper_deg": found.trim_deg,
    }
    assert holds(computed[name], check, name)


@pytest.mark.parametrize(("check", "name"), named("PLAN-08", "M2", "M3"))
def test_the_moment_changes_sign_between_trials(check, name):
    assert holds(_at(int(name[1])).moment_nm / (_LBF * _FOOT), check, name)


@pytest.mark.parametrize(("check", "name"), named("PLAN-09", "Cp"))
def test_centre_of_pressure(check, name):
    given_ = CHECKS[check]["inputs"]
    assert holds([planing.centre_of_pressure(given_["Cv"], ratio) for ratio in given_["lambda"]], check, name)


@pytest.mark.parametrize(("check", "name"), named("PLAN-10", "Lk", "Lc", "draft"))
def test_wetted_keel_and_chine_and_draft(check, name):
    found = _balanced()
    keel, chine = found.keel_wetted_m / _FOOT, found.chine_wetted_m / _FOOT
    draft = keel * math.sin(math.radians(found.trim_deg))
    assert holds({"Lk": keel, "Lc": chine, "draft": draft}[name], check, name)


@pytest.mark.parametrize(("check", "name"), named("PLAN-11", "x", "tau_crit_deg"))
def test_porpoising_limit(check, name):
    computed = {
        "x": planing.porpoising_chart_x(0.069265),
        "tau_crit_deg": planing.porpoising_trim_deg(0.069265, 10),
    }
    assert holds(computed[name], check, name)


@pytest.mark.parametrize(("check", "name"), named("PLAN-13", "CL0"))
def test_flat_plate_lift(check, name):
    assert holds([planing.flat_lift(*case) for case in ((4, 2, 4), (5, 1, 6), (3, 3, 2.5))], check, name)


@pytest.mark.parametrize(("check", "name"), named("PLAN-14", "CLb"))
def test_deadrise_correction(check, name):
    assert holds([planing.lift_with_deadrise(0.1, deadrise) for deadrise in (0, 10, 20)], check, name)


@pytest.mark.parametrize(
    ("check", "name", "line"),
    [
        pytest.param("PLAN-15", "Cf_x1e3", planing.ittc57, id="PLAN-15 (own evaluation of a published formula): ITTC"),
        pytest.param("PLAN-17", "Cf_x1e3", planing.schoenherr, id="PLAN-17 (outside, from memory): Schoenherr"),
    ],
)
def test_friction_lines(check, name, line):
    assert holds([line(re) * 1000 for re in CHECKS[check]["inputs"]["Re"]], check, name)


@pytest.mark.parametrize(("check", "name"), named("PLAN-18", "tau_crit"))
def test_porpoising_limit_between_the_published_deadrises(check, name):
    """827400 N on 7.315 m of beam at 13.07 m/s, 15° of deadrise, in sea water of 1025.87 kg/m³."""
    sea = planing.Water(1025.87, 1.19e-6)
    lift = planing.lift_coefficient(827400 / sea.gravity_m_s2, 7.315, 13.07, sea)
    assert holds(planing.porpoising_trim_deg(lift, 15), check, name)


@pytest.mark.parametrize(("check", "name"), named("PLAN-19", "tau", "lambda", "thrust_x_lbf"))
def test_openplaning_on_the_example_differs_by_its_missing_allowance_only(check, name):
    """Without the roughness allowance the drag agrees to 0.4 %, trim and wetted length to 1 %, as PLAN-19 notes: the
    library also lets the thrust carry a part of the weight, which the paper does not. That the figures are the
    library's own is held below, to the tolerance given with them."""
    smooth = planing.Water(_SEA.density_kg_m3, _SEA.kinematic_viscosity_m2_s, _G, "ittc57", 0.0)
    found = _balanced(smooth)
    computed = {"tau": found.trim_deg, "lambda": found.wetted_ratio, "thrust_x_lbf": found.drag_n / _LBF}
    assert computed[name] == pytest.approx(value(check, name), rel=0.004 if name == "thrust_x_lbf" else 0.01)


@pytest.mark.parametrize(("check", "name"), named("PLAN-20", "Cv", "in_range"))
def test_a_fast_model_is_beyond_the_speed_coefficients(check, name):
    coefficient = planing.speed_coefficient(20, 0.20)
    low, high = planing.SPEED_COEFFICIENTS
    assert holds({"Cv": coefficient, "in_range": low <= coefficient <= high}[name], check, name)


@pytest.mark.parametrize(("check", "name"), named("PLAN-21", "V_porp_low_kmh", "V_porp_high_kmh"))
def test_the_speeds_between_which_the_method_holds_for_a_model(check, name):
    computed = {
        "V_porp_low_kmh": planing.speed_at_chart_x_ms(0.30, 2.5, 0.20, _POND),
        "V_porp_high_kmh": planing.speed_at_chart_x_ms(0.13, 2.5, 0.20, _POND),
    }
    assert holds(computed[name] * 3.6, check, name)


_HULLS = st.builds(
    planing.Hull,
    st.floats(min_value=0.5, max_value=5),
    st.floats(min_value=0.1, max_value=0.4),
    st.floats(min_value=0, max_value=25),
    st.floats(min_value=0.1, max_value=0.4),
    st.floats(min_value=0.0, max_value=0.1),
)


@given(_HULLS, st.floats(min_value=2, max_value=12))
def test_at_equilibrium_no_moment_is_left_and_the_lift_carries_the_weight(hull, speed):
    found = planing.equilibrium(hull, speed, _POND)
    assume(found is not None)
    weight = hull.mass_kg * _POND.gravity_m_s2
    assert abs(found.moment_nm) < 1e-6 * weight * hull.lcg_m
    coefficient = planing.speed_coefficient(speed, hull.beam_m)
    flat = planing.flat_lift(found.trim_deg, found.wetted_ratio, coefficient)
    lift = planing.lift_coefficient(hull.mass_kg, hull.beam_m, speed, _POND)
    assert planing.lift_with_deadrise(flat, hull.deadrise_deg) == pytest.approx(lift, rel=1e-6)


@given(st.floats(min_value=0.12, max_value=0.30), st.floats(min_value=3, max_value=8))
def test_weight_further_forward_trims_less(lcg, speed):
    aft, forward = (planing.equilibrium(planing.Hull(2.0, 0.2, 15, at, 0.03), speed, _POND) for at in (lcg, lcg + 0.02))
    assume(aft is not None and forward is not None)
    assert forward.trim_deg < aft.trim_deg


def test_friction_and_allowance_only_add_drag():
    smooth = planing.equilibrium(_MODEL, 5, planing.Water(998.2, 1e-6, allowance=0.0))
    rough = planing.equilibrium(_MODEL, 5, planing.Water(998.2, 1e-6, allowance=0.0004))
    assert smooth is not None and rough is not None
    assert rough.drag_n > smooth.drag_n


def test_there_is_no_equilibrium_with_the_weight_ahead_of_everything_wetted():
    assert planing.equilibrium(planing.Hull(2.0, 0.2, 15, 30.0, 0.03), 20, _POND) is None


def test_the_chart_says_nothing_beyond_its_ends():
    assert planing.porpoising_trim_deg(2 * 0.12**2, 10) is None
    assert planing.porpoising_trim_deg(2 * 0.31**2, 10) is None
    assert planing.porpoising_trim_deg(0.069265, 21) is None


@pytest.fixture(scope="module")
def openplaning():
    """The library itself. It asks for a module of older setuptools without saying so; where that is not to be had it
    does not import, and then it is said in words that planing was not held against it."""
    with warnings.catch_warnings():  # the library changes how the whole process warns
        warnings.simplefilter("ignore")
        try:
            import openplaning
        except Exception as error:
            pytest.skip(f"planing was not held against openplaning: it is not here or does not import ({error!r})")
        yield openplaning


@pytest.mark.parametrize("through", ["the centre of mass", "the keel"])
@pytest.mark.parametrize(("speed", "hull"), [
    (5.0, planing.Hull(2.0, 0.2, 12, 0.20, 0.04)), (4.0, planing.Hull(1.2, 0.16, 18, 0.17, 0.03)),
    (6.0, planing.Hull(5.0, 0.28, 10, 0.30, 0.06)), (_SPEED, _BOAT),
])  # fmt: skip
def test_openplaning_run_here_agrees_without_a_roughness_allowance(openplaning, speed, hull, through):
    """openplaning 0.4.9 with friction after ITTC and no allowance, chines wet, thrust along the keel through one point:
    one percent, as much as charts and exact solving differ by, and none from the allowance that it does not have."""
    thrust_up_m = hull.vcg_m if through == "the centre of mass" else 0.0
    boat = openplaning.PlaningBoat(
        speed, hull.mass_kg * 9.8066, hull.beam_m, hull.lcg_m, hull.vcg_m, 0.1, hull.deadrise_deg, 0, thrust_up_m, 0,
        rho=998.2, nu=1e-6, ahr=0.0, wetted_lengths_type=3,
    )  # fmt: skip
    boat.get_steady_trim()
    smooth = planing.Water(998.2, 1e-6, 9.8066, "ittc57", 0.0)
    same = planing.Hull(
        hull.mass_kg, hull.beam_m, hull.deadrise_deg, hull.lcg_m, hull.vcg_m, 0.0, hull.vcg_m - thrust_up_m
    )
    found = planing.equilibrium(same, speed, smooth)
    assert found is not None and found.chine_wetted_m > 0
    assert found.trim_deg == pytest.approx(float(boat.tau), rel=0.01)
    assert found.wetted_ratio == pytest.approx(float(boat.lambda_W), rel=0.01)
    assert found.drag_n == pytest.approx(-float(boat.thrust_force[0]), rel=0.01)


def _run_here(openplaning, *boat, **options):
    """A boat of the library at its trim: speed, weight, beam, lcg, vcg, gyradius, deadrise, shaft angle, thrust."""
    found = openplaning.PlaningBoat(*boat, **options)
    with warnings.catch_warnings():
        warnings.simplefilter("ignore")
        found.get_steady_trim()
        found.get_eom_matrices()
    return found


@pytest.mark.parametrize(("check", "name"), named("PLAN-18", "z_wl", "tau", "lambda", "thrust_x", "tau_crit"))
def test_the_library_beside_us_is_the_published_one(openplaning, check, name):
    """The boat of its own README, with a flap, which our planing has not: so only the library is held to these."""
    found = _run_here(
        openplaning, 13.07, 827400, 7.315, 10.67, 7.315 / 7, 0.25 * 24.38, 15, 0, 7.315 / 7, 10.67, 24.38, 1.402,
        Lf=0.3048, sigma=1.0, delta=5, wetted_lengths_type=3, roughness_penalty_type=2,
    )  # fmt: skip
    found.check_porpoising()
    computed = {
        "z_wl": found.z_wl,
        "tau": found.tau,
        "lambda": found.lambda_W,
        "thrust_x": -found.thrust_force[0],
        "tau_crit": found.porpoising[1][1],
    }
    assert holds(float(computed[name]), check, name)


@pytest.mark.parametrize(("check", "name"), named("PLAN-19", "tau", "lambda", "thrust_x_lbf"))
def test_the_library_on_the_example_of_the_paper(openplaning, check, name):
    """Its line of thrust passes half a foot below the centre of mass, at four degrees to the keel."""
    shaft = math.radians(_BOAT.shaft_angle_deg)
    at_transom_m = _BOAT.vcg_m - _BOAT.lcg_m * math.tan(shaft) - _BOAT.thrust_offset_m / math.cos(shaft)
    found = _run_here(
        openplaning, _SPEED, 60000 * _LBF, _BOAT.beam_m, _BOAT.lcg_m, _BOAT.vcg_m, 1.0, 10, 4, at_transom_m, 0,
        rho=_SEA.density_kg_m3, nu=_SEA.kinematic_viscosity_m2_s, g=_G, ahr=0.0, wetted_lengths_type=2,
    )  # fmt: skip
    computed = {"tau": found.tau, "lambda": found.lambda_W, "thrust_x_lbf": -found.thrust_force[0] / _LBF}
    assert holds(float(computed[name]), check, name)


@pytest.mark.parametrize("vcg", [0.0, 0.02, 0.04, 0.06, 0.1])
@pytest.mark.parametrize(("check", "name"), named("PLAN-20", "openplaning_tau"))
def test_the_library_on_a_fast_model_whatever_the_height_of_its_weight(openplaning, check, name, vcg):
    """PLAN-20 tells no height of the weight and no line of thrust. With the thrust along the keel, and all else as the
    library takes it unasked, the height moves the trim by 0.003° only: the published figure holds for any."""
    found = _run_here(openplaning, 20, 2.5 * 9.80665, 0.20, 0.22, vcg, 0.1, 18, 0, 0.0, 0)
    assert holds(float(found.tau), check, name)


@pytest.mark.parametrize("vcg", [0.0, 0.02, 0.04, 0.06])
def test_a_fast_model_balances_only_below_the_trims_and_with_dry_chines(vcg):
    """As openplaning finds it too (PLAN-20). Dry chines are beyond the paper, and each extends it in its own way: here
    it is 0.80° with the thrust along the keel, 0.63 to 0.80° with the thrust through the centre of mass."""
    for offset in (0.0, vcg):
        found = planing.equilibrium(planing.Hull(2.5, 0.20, 18, 0.22, vcg, 0.0, offset), 20, _POND)
        assert found is not None and found.chine_wetted_m < 0
        assert found.trim_deg < planing.TRIMS_DEG[0] and value("PLAN-20", "openplaning_tau") < planing.TRIMS_DEG[0]
        if offset == vcg:
            assert found.trim_deg == pytest.approx(value("PLAN-20", "openplaning_tau"), abs=0.03)
