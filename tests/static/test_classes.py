"""A class that a page names for its look has a rule in the stylesheet."""

import re
from pathlib import Path

ROOT = Path(__file__).parents[2]
RULED = set(re.findall(r"\.([a-z][\w-]*)", (ROOT / "static/garage.css").read_text()))
# Named for scripts, tests and whoever reads the page's source; they look like what they stand in.
NO_LOOK = {"attached", "cell", "drawn", "found", "list", "loans", "readout", "row-count", "trace-view", "wide"}


def test_every_class_written_out_in_a_template_has_a_rule():
    pages = "".join(page.read_text() for page in (ROOT / "templates").rglob("*.html"))
    named = {name for text in re.findall(r'class="([\w -]+)"', pages) for name in text.split()}
    assert len(named) > 50 and named - RULED - NO_LOOK == set()
