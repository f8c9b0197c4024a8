"""How far apart the steps are in which people adjust: effects are told per step."""

# By kind of measure; 1 of its unit for any other. Common practice, no source.
STEPS = {"angle": 0.5, "length": 1.0, "mass": 50.0, "balance": 1.0}
