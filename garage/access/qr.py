"""An address as a picture that a phone's camera reads."""

import io

from markupsafe import Markup


def qr_svg(address: str) -> bytes:
    """The QR code of `address` as an SVG file, dark on white whatever the page's colours are."""
    # Loaded here, because only the page of phones ever draws one.
    import segno

    out = io.BytesIO()
    segno.make(address, micro=False, error="m").save(out, kind="svg", scale=6, border=4, light="#fff", dark="#000")
    return out.getvalue()


def qr_inline(words: str) -> Markup:
    """The QR code of some words as a drawing to stand in a page."""
    import segno

    code = segno.make(words, micro=False, error="m")
    return Markup(code.svg_inline(border=4, light="#fff", dark="#000", omitsize=True))
