"""`python -m garage` is `garage`."""

from garage.cli import main

if __name__ == "__main__":
    raise SystemExit(main())
