"""A box for money: people write 1,250.50 or $1,250; the program keeps minor units."""

import re
from decimal import Decimal, InvalidOperation
from typing import Any

from django import forms
from django.core.exceptions import ValidationError
from django.utils.translation import gettext_lazy as _


class MoneyField(forms.Field):
    """Reads an amount as minor units of a currency with `exponent` decimals, and writes it back as an amount.

    decimal_comma: the country writes 1.250,50.
    """

    widget = forms.TextInput(attrs={"inputmode": "decimal"})
    default_error_messages = {
        "amount": _("Write an amount in figures, for instance 1250 or 1250.50."),
        "parts": _("This currency has no parts that small: write fewer decimals."),
    }

    def __init__(self, *, exponent: int = 2, decimal_comma: bool = False, **kwargs: Any) -> None:
        super().__init__(**kwargs)
        self.exponent, self.decimal_comma = exponent, decimal_comma

    def to_python(self, value: Any) -> int | None:
        written = re.sub(r"[^\d.,\-]", "", str(value or ""))
        if not written:
            if str(value or "").strip():
                raise ValidationError(self.error_messages["amount"], code="amount")
            return None
        point, thousands = (",", ".") if self.decimal_comma else (".", ",")
        try:
            minor = Decimal(written.replace(thousands, "").replace(point, ".")).scaleb(self.exponent)
        except InvalidOperation:
            raise ValidationError(self.error_messages["amount"], code="amount") from None
        if minor != minor.to_integral_value():
            raise ValidationError(self.error_messages["parts"], code="parts")
        if abs(minor) > 10**15:
            raise ValidationError(self.error_messages["amount"], code="amount")
        return int(minor)

    def prepare_value(self, value: Any) -> Any:
        if not isinstance(value, int):
            return value
        amount = f"{Decimal(value).scaleb(-self.exponent):.{self.exponent}f}"
        return amount.replace(".", ",") if self.decimal_comma else amount

    def has_changed(self, initial: Any, data: Any) -> bool:
        try:
            return bool(initial != self.to_python(data))
        except ValidationError:
            return True


class PercentField(forms.DecimalField):
    """Reads 7.25 (percent) as 725 hundredths of a percent and writes it back."""

    def __init__(self, **kwargs: Any) -> None:
        super().__init__(min_value=0, max_value=100, decimal_places=2, **kwargs)

    def clean(self, value: Any) -> Any:
        percent = super().clean(value)
        return None if percent is None else int(percent * 100)

    def prepare_value(self, value: Any) -> Any:
        if not isinstance(value, int):
            return value
        whole, part = divmod(value, 100)
        return f"{whole}.{part:02d}" if part else str(whole)
