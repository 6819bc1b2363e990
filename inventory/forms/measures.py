"""Boxes for measures as a country writes them; kept in grams and kilohertz."""

from decimal import Decimal
from typing import Any

from django import forms
from django.utils.translation import gettext_lazy as _

from people.compute.packs import CountryPack
from people.compute.phrasing import GRAMS_A_POUND


class MassField(forms.DecimalField):
    """Reads pounds or kilograms as grams; three figures after the point bring every gram back as it was."""

    def __init__(self, *, country: CountryPack, **kwargs: Any) -> None:
        pounds = country.mass_unit == "pounds"
        self.grams = GRAMS_A_POUND if pounds else Decimal(1000)
        kwargs["label"] = _("Mass of it all, in pounds") if pounds else _("Mass of it all, in kilograms")
        super().__init__(min_value=0, max_value=100_000, required=False, **kwargs)

    def clean(self, value: Any) -> int | None:
        mass = super().clean(value)
        return None if mass is None else int((mass * self.grams).to_integral_value())

    def prepare_value(self, value: Any) -> Any:
        if not isinstance(value, int):
            return value
        return f"{(value / self.grams).quantize(Decimal('0.001')):f}".rstrip("0").rstrip(".")


class MegahertzField(forms.DecimalField):
    """Reads megahertz as kilohertz."""

    def __init__(self, **kwargs: Any) -> None:
        super().__init__(min_value=0, max_value=100_000, decimal_places=3, required=False, **kwargs)

    def clean(self, value: Any) -> int | None:
        megahertz = super().clean(value)
        return None if megahertz is None else int(megahertz * 1000)

    def prepare_value(self, value: Any) -> Any:
        if not isinstance(value, int):
            return value
        return f"{Decimal(value) / 1000:f}"
