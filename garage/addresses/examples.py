"""Examples of reading the notebook's data from elsewhere; `{base}` is where this notebook answers."""

CURL = """\
curl -s {base}/runs.json
curl -s {base}/runs.csv -o runs.csv"""

PYTHON = """\
import json
from urllib.request import urlopen

with urlopen("{base}/records.json") as answer:
    records = json.load(answer)
for row in records["rows"]:
    speed = row["run"]["speed"]
    print(row["way"], row["rank"], row["run"]["hull"], speed["value"], speed["unit"], speed["from"])"""

FRAMES = """\
import pandas

runs = pandas.read_csv("{base}/runs.csv")
print(runs.groupby("hull")["speed [km/h]"].describe())"""
