"""Boxes and lists of choices painted in Python: the framework's own go through a template for each part."""

from collections.abc import Iterable
from functools import lru_cache
from typing import Any

from django import forms
from django.db.models import Choices
from django.forms.utils import flatatt
from django.utils.html import escape
from django.utils.safestring import SafeString, mark_safe
from django.utils.translation import get_language


def said(words: type[Choices]) -> tuple[tuple[str, str], ...]:
    """Return values and labels in the reader's language: a look-up for each option of each page adds up."""
    return _said(words, get_language())


@lru_cache(maxsize=64)
def _said(words: type[Choices], language: str | None) -> tuple[tuple[str, str], ...]:
    return tuple((str(value), str(label)) for value, label in words.choices)


def options(choices: Iterable[tuple[Any, Any]], chosen: str = "") -> SafeString:
    """Return the options of a select, as `forms.Select` words them."""
    return _options(tuple((str.__str__(str(each)), str.__str__(str(words))) for each, words in choices), chosen)


@lru_cache(maxsize=512)
def _options(choices: tuple[tuple[str, str], ...], chosen: str) -> SafeString:
    return mark_safe(
        "".join(
            f'<option value="{escape(each)}"{" selected" if each == chosen else ""}>{escape(words)}</option>'
            for each, words in choices
        )
    )


class PlainSelect(forms.Select):
    """Looks and reads as forms.Select does; for choices without groups."""

    def render(self, name: str, value: Any, attrs: Any = None, renderer: Any = None) -> SafeString:
        every = flatatt(self.build_attrs(self.attrs, {"name": name, **(attrs or {})}))
        return mark_safe(f"<select{every}>{options(self.choices, str(value or ''))}</select>")


class PlainInput(forms.TextInput):
    """Looks and reads as forms.TextInput does, or by its input_type as another box of one line."""

    def render(self, name: str, value: Any, attrs: Any = None, renderer: Any = None) -> SafeString:
        words = self.format_value(value)
        given = {"type": self.input_type, "name": name, **({} if words is None else {"value": words})}
        return mark_safe(f"<input{flatatt(given)}{flatatt(self.build_attrs(self.attrs, attrs))}>")


class PlainHidden(PlainInput):
    input_type = "hidden"
