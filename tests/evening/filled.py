"""The evening's form as a browser would send it."""

import html
import re


def table_of(page: str) -> dict[str, str]:
    """What a browser would send of the table if nothing were touched."""
    form = page[page.index('id="evening-form"') :]
    form = form[: form.index("</form>")]
    fields = {}
    for tag in re.findall(r"<input[^>]* name=[^>]*>", form):
        fields[re.search(r'name="([^"]*)"', tag)[1]] = html.unescape(re.search(r'value="([^"]*)"', tag)[1])
    for name, options in re.findall(r'<select name="([^"]*)"[^>]*>(.*?)</select>', form, re.S):
        chosen = re.search(r'<option value="([^"]*)" selected', options)
        fields[name] = chosen[1] if chosen else ""
    return fields


def evening(client, ids) -> dict[str, str]:
    page = client.get(f"/outings/{ids['outing']}/evening")
    assert page.status_code == 200
    return table_of(page.text)
