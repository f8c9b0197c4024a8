"""Inputs that several calculators ask for in the same words."""

from garage.bench.definition import Input, WrongInput, WrongLine

DIMENSIONS_BEYOND_ANY_BOAT_MM = 100000.0


def wrong_list(name: str, error: ValueError) -> WrongInput:
    """What is wrong with a list of lines, beside the field of a page where it stands."""
    if isinstance(error, WrongLine) and error.field:
        return WrongInput({name: str(error)}, {f"{name}_{error.number}_{error.field}": error.words})
    return WrongInput({name: str(error)})


def shaft_speed(**changes) -> Input:
    """Shaft speed of the prop."""
    return _made(
        Input(
            "shaft_speed",
            "Shaft speed",
            "rpm",
            "shaft_speed",
            above=0,
            high=300000,
            hint="of the prop, under load",
        ),
        changes,
    )


def diameter(**changes) -> Input:
    """Diameter of a prop."""
    return _made(Input("diameter", "Prop diameter", "mm", "length", above=0, high=2000), changes)


def pitch(**changes) -> Input:
    """Pitch of a prop, or nothing when its ratio to the diameter is given."""
    return _made(Input("pitch", "Prop pitch", "mm", "length", above=0, high=5000), changes)


def speed(**changes) -> Input:
    """The boat's speed."""
    return _made(Input("speed", "Speed", "km/h", "speed", low=0, high=1000), changes)


def mass(unit: str = "g", **changes) -> Input:
    """A mass above zero."""
    return _made(Input("mass", "Mass", unit, "mass", above=0, high=1e6), changes)


def length(name: str, label: str, unit: str = "mm", **changes) -> Input:
    """A length above zero."""
    made = Input(name, label, unit, "length", above=0, high=DIMENSIONS_BEYOND_ANY_BOAT_MM)
    return _made(made, changes)


def temperature(name: str = "temperature", label: str = "Temperature", **changes) -> Input:
    """A temperature that water, air or a pack can have."""
    return _made(Input(name, label, "°C", "temperature", low=-40, high=120), changes)


def count(name: str, label: str, **changes) -> Input:
    """A whole number from 1 on."""
    return _made(Input(name, label, "", "whole", low=1, high=1000), changes)


def _made(one: Input, changes: dict) -> Input:
    return Input(**{name: getattr(one, name) for name in Input.__dataclass_fields__} | changes)
