"""A list of choices painted in Python: the framework's own goes through a template for every option."""

from typing import Any

from django import forms
from django.forms.utils import flatatt
from django.utils.html import format_html, format_html_join


class PlainSelect(forms.Select):
    """Looks and reads as forms.Select does; for choices without groups."""

    def render(self, name: str, value: Any, attrs: Any = None, renderer: Any = None) -> str:
        chosen = str(value or "")
        options = format_html_join(
            "",
            '<option value="{}"{}>{}</option>',
            ((each, format_html(" selected") if str(each) == chosen else "", words) for each, words in self.choices),
        )
        return format_html(
            "<select{}>{}</select>", flatatt(self.build_attrs(self.attrs, {"name": name, **(attrs or {})})), options
        )
