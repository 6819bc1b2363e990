"""Money and percent as people write them. Nothing is rounded: parts a currency does not have are refused."""

import pytest
from django.core.exceptions import ValidationError

from people.forms.amounts import MoneyField, PercentField


@pytest.mark.parametrize(
    ("written", "minor"),
    [("1250", 125000), ("$1,250.50", 125050), ("£ 3", 300), ("-12.5", -1250), ("", None), ("0", 0)],
)
def test_amounts_become_minor_units(written, minor):
    assert MoneyField(required=False).clean(written) == minor


def test_a_country_with_a_decimal_comma_is_read_its_way():
    assert MoneyField(decimal_comma=True).clean("1.250,50") == 125050


def test_a_currency_without_parts_refuses_them():
    assert MoneyField(exponent=0).clean("1,250") == 1250
    with pytest.raises(ValidationError):
        MoneyField(exponent=0).clean("1.5")


@pytest.mark.parametrize("written", ["free", "1.2.3", "12.345", "9" * 30])
def test_what_is_no_amount_is_refused_with_a_sentence(written):
    with pytest.raises(ValidationError):
        MoneyField().clean(written)


def test_what_was_read_is_written_back_the_same():
    field = MoneyField()
    assert field.prepare_value(125050) == "1250.50"
    assert field.clean(field.prepare_value(125050)) == 125050
    assert not field.has_changed(125050, "1,250.50")


def test_percent_is_kept_in_hundredths():
    assert PercentField().clean("7.25") == 725
    assert PercentField().prepare_value(725) == "7.25"
    assert PercentField().prepare_value(1000) == "10"
