"""The British catalog: a text with an American word has an entry, an entry has a text, the compiled file agrees."""

import ast
import gettext
import re
from pathlib import Path

import pytest
from babel.messages.pofile import read_po
from django.utils.translation.template import templatize

from tests.words_of_countries import american, british

ROOT = Path(__file__).resolve().parent.parent
PO = ROOT / "locale" / "en_GB" / "LC_MESSAGES" / "django.po"
TRANSLATING = {"_", "gettext_noop", "gettext", "gettext_lazy", "ngettext", "ngettext_lazy", "pgettext", "sentence"}
TEXT = r"(?:u?'((?:[^'\\]|\\.)*)'|u?\"((?:[^\"\\]|\\.)*)\")"


HOLDER = r"%\(\w+\)[sd]|\{\w*\}"


def bare(text: str) -> str:
    """Return the text without its placeholders, whose names nobody reads."""
    return re.sub(HOLDER, "", text)


def strings_in(module: str) -> list[str]:
    """Return every constant text handed to a translating function."""
    return [
        argument.value
        for node in ast.walk(ast.parse(module))
        if isinstance(node, ast.Call) and getattr(node.func, "id", getattr(node.func, "attr", "")) in TRANSLATING
        for argument in node.args
        if isinstance(argument, ast.Constant) and isinstance(argument.value, str)
    ]


def strings_in_template(text: str) -> list[str]:
    made = templatize(text)
    return [
        ast.literal_eval(f'"{double}"' if double else f"'{single}'")
        for call in re.findall(r"(?:gettext|_)\((.*)", made)
        for single, double in re.findall(TEXT, call)
    ]


@pytest.fixture(scope="module")
def said() -> set[str]:
    found = set()
    for app in ("people", "inventory", "roadmap"):
        for path in (ROOT / app).rglob("*.py"):
            found.update(strings_in(path.read_text(encoding="utf-8")))
    for path in (ROOT / "templates").rglob("*"):
        if path.suffix in {".html", ".txt"}:
            found.update(strings_in_template(path.read_text(encoding="utf-8")))
    return found


@pytest.fixture(scope="module")
def entries() -> dict[str, str]:
    with PO.open("rb") as file:
        found = read_po(file, locale="en_GB")
    kept = {}
    for message in found:
        if message.id:
            ids = (message.id,) if isinstance(message.id, str) else message.id
            texts = (message.string,) if isinstance(message.string, str) else message.string
            kept.update(zip(ids, texts, strict=True))
    return kept


def test_the_walk_finds_what_is_said(said):
    assert {"Sign in", "Undo", "to decide"} <= said and len(said) > 300


def test_every_text_with_an_american_word_has_an_entry(said, entries):
    assert {text: american(text) for text in said if american(bare(text)) and text not in entries} == {}


def test_no_text_of_the_source_is_british(said):
    assert {text: british(text) for text in said if british(bare(text))} == {}


def test_every_entry_is_said_somewhere_and_differs(said, entries):
    assert sorted(set(entries) - said) == []
    assert [text for text, turned in entries.items() if text == turned or american(bare(turned))] == []


def test_placeholders_stay_the_same(entries):
    for text, turned in entries.items():
        assert sorted(re.findall(HOLDER, text)) == sorted(re.findall(HOLDER, turned)), text


def test_the_compiled_catalog_is_the_written_one(entries):
    with PO.with_suffix(".mo").open("rb") as file:
        compiled = gettext.GNUTranslations(file)
    kept = {key[0] if isinstance(key, tuple) else key: text for key, text in compiled._catalog.items() if key}
    assert kept == entries
