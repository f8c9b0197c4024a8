"""Names and codes that only look alike: written once with a blank, once without, or with a letter of another script."""

import unicodedata

# What is easily read or typed for another; small letters, since capitals are let go first. Letters of other scripts are
# told by their numbers: they look like what they stand for.
_CYRILLIC = dict(zip("авсенкморстухіјѕ", "abcehkmopctyxijs", strict=True))
_GREEK = dict(zip("αβεζηικμνορτυχ", "abezhikmnoptyx", strict=True))
_READ_AS = {"0": "o", "1": "l", "i": "l", "|": "l", "!": "l"}
_LOOKS = str.maketrans({sign: _READ_AS.get(plain, plain) for sign, plain in (_CYRILLIC | _GREEK).items()} | _READ_AS)


def look_of(written: str) -> str:
    """What `written` looks like: the same for all that may be taken for each other, '' for signs alone."""
    small = unicodedata.normalize("NFKC", written).casefold().translate(_LOOKS)
    return "".join(sign for sign in unicodedata.normalize("NFKD", small) if sign.isalnum())


def look_alike(one: str, other: str) -> bool:
    """Whether two names may be taken for each other."""
    return bool(look_of(one)) and look_of(one) == look_of(other)
