"""Sentences that computations give as reasons: a template to translate and the values that go into it."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass


def _as_it_is(template: str) -> str:
    return template


@dataclass(frozen=True)
class Grams:
    """A mass, to be written in the unit of the country."""

    value: float

    def __str__(self) -> str:
        return f"{self.value / 1000:g} kg"


@dataclass(frozen=True)
class Millimeters:
    """A length, to be written in the unit of the country."""

    value: float

    def __str__(self) -> str:
        return f"{self.value:g} mm"


def plainly(value: object) -> str:
    """Return a value without a country's ways: lists with commas, everything else as Python writes it."""
    return ", ".join(map(plainly, value)) if isinstance(value, (tuple, list)) else str(value)


@dataclass(frozen=True)
class Sentence:
    """A reason in words. Values are plain (numbers, dates, strings, other sentences); whoever shows it dresses them."""

    template: str
    values: tuple[tuple[str, object], ...] = ()

    def words(self, translate: Callable[[str], str] = _as_it_is, show: Callable[[object], str] = plainly) -> str:
        """Return the sentence. translate: gettext; show: how a value is written, plainly or by country."""
        shown = {
            name: value.words(translate, show) if isinstance(value, Sentence) else show(value)
            for name, value in self.values
        }
        return translate(self.template).format(**shown)

    def __str__(self) -> str:
        return self.words()


def sentence(template: str, **values: object) -> Sentence:
    """Return a Sentence. Imported as `_`, so that its templates are found for translation."""
    return Sentence(template, tuple(values.items()))
