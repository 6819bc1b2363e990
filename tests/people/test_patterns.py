"""The page of patterns shows every part, and no page carries a style or a script of its own."""

import re
from pathlib import Path

import pytest
from bs4 import BeautifulSoup
from django.contrib.staticfiles import finders
from django.core.management import call_command
from django.test import RequestFactory, override_settings

from people.views.patterns import patterns

ROOT = Path(__file__).resolve().parents[2]
TEMPLATES = sorted((ROOT / "templates").rglob("*.html"))


@pytest.fixture
def page():
    request = RequestFactory().get("/patterns/")
    request.user = type("Nobody", (), {"is_authenticated": False})()
    request.resolver_match = None
    request._messages = []
    return BeautifulSoup(patterns(request).content, "html.parser")


def test_it_has_one_heading_and_named_parts(page):
    assert len(page.find_all("h1")) == 1
    assert page.find("main") and page.find("nav") and page.find("a", class_="skip")["href"] == "#main"


def test_every_control_has_a_name(page):
    for control in page.select("main input:not([type=hidden]), main select, main textarea"):
        named = (
            control.get("aria-label")
            or page.find("label", attrs={"for": control.get("id")})
            or control.find_parent("label")
        )
        assert named, control


def test_what_is_wrong_is_tied_to_its_field(page):
    bad = page.select_one("input[aria-invalid=true]")
    described = bad["aria-describedby"].split()
    assert described and all(page.find(id=name) for name in described)


def test_every_table_has_a_caption_and_scopes(page):
    for table in page.find_all("table"):
        assert table.find("caption")
        assert all(head.get("scope") for head in table.find_all("th"))


def test_every_shape_used_is_drawn(page):
    drawn = {symbol["id"] for symbol in page.find_all("symbol")}
    assert {use["href"][1:] for use in page.find_all("use")} <= drawn


def test_no_number_of_the_ladder_stands_past_the_rows_that_have_classes(page):
    rows = (ROOT / "static/css/ladder-rows.css").read_text()
    for part in page.select(".ladder [class*='from-'], .ladder [class*='to-']"):
        assert all(f".{name}{{" in rows for name in part["class"] if re.fullmatch(r"(from|to)-\d+", name))


@pytest.mark.parametrize("template", TEMPLATES, ids=lambda path: str(path.relative_to(ROOT)))
def test_no_template_carries_a_style_or_a_script(template):
    text = template.read_text()
    assert not re.search(r"\sstyle\s*=|<style|\son[a-z]+\s*=\s*[\"']|hx-on|javascript:", text)
    assert not re.search(r"<script(?![^>]*\bsrc=)", text)


@pytest.mark.parametrize("template", TEMPLATES, ids=lambda path: str(path.relative_to(ROOT)))
def test_partials_say_what_they_take(template):
    if template.name.startswith("_"):
        assert template.read_text().startswith("{#")


@pytest.mark.parametrize("template", TEMPLATES, ids=lambda path: str(path.relative_to(ROOT)))
def test_what_templates_load_exists(template):
    for name in re.findall(r"{%\s*static\s+[\"']([^\"']+)[\"']\s*%}", template.read_text()):
        assert finders.find(name), name


def test_the_style_sheets_survive_being_named_by_their_content(tmp_path):
    storage = {
        "default": {"BACKEND": "django.core.files.storage.FileSystemStorage"},
        "staticfiles": {"BACKEND": "whitenoise.storage.CompressedManifestStaticFilesStorage"},
    }
    with override_settings(STATIC_ROOT=tmp_path, STORAGES=storage, DEBUG=False):
        call_command("collectstatic", interactive=False, verbosity=0)
    main = next(tmp_path.glob("css/main.????????????.css")).read_text()
    imports = re.findall(r'url\("([^"]+)"\)', main)
    assert imports and all(
        re.search(r"\.[0-9a-f]{12}\.css$", name) and (tmp_path / "css" / name).exists() for name in imports
    )
