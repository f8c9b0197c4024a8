"""How numbers are known: behind one mark a group, always in the page, and in sight where no mark opens it."""

from garage.measures import Measure
from garage.units import DisplayUnits
from garage.web import templates
from garage.web.shown import kept_units

_PAGE = """{% from "parts/page.html" import row, fold %}
{% call row("now") %}{{ mass | shown }}{{ mass | shown }}
{% call fold("Deeper") %}{{ mass | shown }}{% endcall %}{% endcall %}
{% call row("later") %}{% call fold("Alone") %}{{ mass | shown }}{% endcall %}{% endcall %}
{% call row("never") %}{{ mass | shown(how=false) }}{% endcall %}
{{ mass | shown }}"""


def test_each_group_with_origins_has_one_mark_and_what_is_in_none_is_in_sight():
    kept_units.set(DisplayUnits())
    mass = Measure(12.0, "mass", origin="weighed <twice>")
    page = templates.make_environment().from_string(_PAGE).render(mass=mass)
    assert page.count('<details class="known') == 3
    assert [name for name in ("now", "later", "never") if f'How known<span class="sr-only">: {name}' in page] == ["now"]
    assert page.count('<span class="origin"> weighed &lt;twice&gt;</span>') == 4
    assert page.count('<span class="origin loose">') == 1
