"""Reasons of computations in the words and figures of a ministry's country."""

from collections.abc import Mapping

from django.utils.translation import gettext

from people.compute import phrasing
from people.compute.packs import CountryPack
from people.compute.sentences import Sentence


def said(sentence: Sentence, pack: CountryPack, names: Mapping[str, str] | None = None) -> str:
    """Return a sentence translated, with dates, figures and lists as the country writes them.

    names: what stands for a tag wherever a value is one, "G062 Dimmer" for "G062".
    """
    known = names or {}

    def show(value: object) -> str:
        if isinstance(value, (tuple, list)):
            return phrasing.join_words([show(part) for part in value], pack)
        if isinstance(value, Sentence):
            return value.words(gettext, show)
        return known.get(value, value) if isinstance(value, str) else phrasing.shown(value, pack)

    return sentence.words(gettext, show)
