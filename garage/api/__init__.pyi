from garage.api.calculators import calc_of as calc
from garage.api.effects import effect_of as effect
from garage.api.notebook import Garage as Garage
from garage.api.tracks import track_of as track
from garage.errors import GarageError as GarageError
from garage.errors import NotFound as NotFound
from garage.errors import UnusableData as UnusableData

__all__ = ["Garage", "GarageError", "NotFound", "UnusableData", "calc", "effect", "track"]
