"""Structured data in a page: it can be read back, and nothing in it can end its script element."""

import json

import pytest

from generator.pages.frame.structured_data import format_script


@pytest.mark.parametrize(
    "words",
    [
        "</script><script>alert(1)</script>",
        "<!--<script>",
        "a & b > c",
        "line\u2028and\u2029paragraph",
        'quote " and \\u003c',
    ],
)
def test_words_come_back_and_end_nothing(words: str) -> None:
    """HTML, 4.12.1.3: content restrictions of script elements. U+2028 and U+2029 end lines in older JavaScript."""
    text = str(format_script({"name": words}))

    assert json.loads(text) == {"@context": "https://schema.org", "name": words}
    assert not set(text) & set("<>&\u2028\u2029")
