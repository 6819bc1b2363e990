"""Sentences that computations give as reasons: a template to translate and the values that go into it."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass


def _as_it_is(template: str) -> str:
    return template


@dataclass(frozen=True)
class Sentence:
    """A reason in words. Values are plain (numbers, dates, strings, other sentences); whoever shows it dresses them."""

    template: str
    values: tuple[tuple[str, object], ...] = ()

    def words(self, translate: Callable[[str], str] = _as_it_is, show: Callable[[object], str] = str) -> str:
        """Return the sentence. translate: gettext or nothing; show: how a value is written, str or by country pack."""
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
