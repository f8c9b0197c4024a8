"""Would the tests notice? A sample of wrong lines is tried one by one against the tests of the room each is in.

`python -m tests.mutation --seed N --mutants 100` prints the table; see `__main__`. The operators are few and our own:
the usual libraries bring a dozen packages along, and neither min for max nor a choice of tests for each room.
"""
