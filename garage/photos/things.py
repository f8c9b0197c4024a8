"""What this room keeps, for whoever searches it or brings it back."""

from garage.things import OF_OWNER, Binned, Found, Kind, texts

ATTACHMENT = Kind(
    "attachment",
    "attachment",
    title=(
        "CASE t.kind WHEN 'photo' THEN 'Picture' ELSE upper(substr(t.kind, 1, 1)) || substr(t.kind, 2) END"
        " || CASE t.owner WHEN '' THEN ', not sorted yet' WHEN 'part' THEN ' on a drive part'"
        " ELSE ' on ' || CASE WHEN t.owner IN ('outing', 'instrument') THEN 'an ' ELSE 'a ' END || t.owner END"
    ),
    url=OF_OWNER,
    aside="t.set_aside_at IS NOT NULL",
    at="t.at",
    offset_min="t.offset_min",
    found=Found("note", 14, "Notes, pictures, sound, links", texts("kind"), texts("text", "url")),
    binned=Binned(
        "note or file",
        "trim(t.kind || ' ' || substr(t.text || t.url, 1, 80))",
        "CASE t.owner WHEN '' THEN '/attachments/unsorted' ELSE '/attachments/' || t.owner || '/' || t.owner_id END",
        "'/attachments/' || t.id || '/return'",
    ),
)
THINGS = (ATTACHMENT,)
