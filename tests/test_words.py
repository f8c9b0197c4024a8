"""The list by which hashes are told in words: as many as eleven bits count, and easy to tell apart."""

import hashlib
import re

from hypothesis import given
from hypothesis import strategies as st

from garage.paths import MIGRATIONS_DIR
from garage.words import BITS, in_words, words

# What stands on paper can only be read by the list it was written with.
AS_RELEASED = "6630fd4bef4f967a84f49e2468df3728da77b5f2889d9adc9abdcb3a144e71c0"


def test_each_word_stands_for_eleven_bits_and_is_told_from_others_by_its_first_four_letters():
    assert len(words()) == 2**BITS == len({word[:4] for word in words()})
    assert all(re.fullmatch("[a-z]{3,8}", word) for word in words()) and list(words()) == sorted(words())


def test_the_list_is_the_one_by_which_marks_on_paper_were_made():
    assert hashlib.sha256((MIGRATIONS_DIR / "words.txt").read_bytes()).hexdigest() == AS_RELEASED


@given(st.binary(min_size=2, max_size=40))
def test_the_words_of_a_hash_are_its_bits_and_lead_back_to_them(digest):
    told = list(in_words(digest.hex()))
    bits = "".join(f"{words().index(word):011b}" for word in told)
    whole = "".join(f"{byte:08b}" for byte in digest)
    assert whole.startswith(bits) and len(whole) - len(bits) < BITS
