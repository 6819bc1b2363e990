"""What a spreadsheet would run as a formula leaves as text.

Source: OWASP Foundation, "CSV Injection": cells that begin with = + - @, a tab or a carriage return, and the full-width
forms of the signs, may be run as formulas.
"""

from datetime import date
from decimal import Decimal

import pytest

from people.compute.sheet_safety import is_risky, neutral


@pytest.mark.parametrize(
    "text", ["=1+1", "+1", "-1", "@SUM(A1)", "\t=1", "\r=1", "\n=1", "＝1", "＋1", "－1", "＠x", "  =1+1", "\u00a0=1"]
)
def test_text_that_could_run_gets_an_apostrophe(text):
    assert is_risky(text)
    assert neutral(text) == f"'{text}"


@pytest.mark.parametrize("text", ["", " ", "Mixer", "1=1", "a@example.org", "5 - 3", "'=1"])
def test_other_text_stays_as_it_is(text):
    assert not is_risky(text)
    assert neutral(text) == text


@pytest.mark.parametrize("value", [None, -5, Decimal("-1.5"), date(2026, 11, 3), True])
def test_numbers_days_and_nothing_stay_what_they_are(value):
    assert neutral(value) is value
