"""What the documents name exists, and what exists and matters is named."""

import re
from pathlib import Path

import pytest
from django.core.management import get_commands

ROOT = Path(__file__).resolve().parent.parent
PAGES = [ROOT / "README.md", ROOT / "DEVELOPERS.md", *sorted((ROOT / "docs").rglob("*.md"))]
PAGES = [page for page in PAGES if page.exists()]
FOLDERS = "config|people|inventory|roadmap|templates|static|fixtures|tests|docs"


def test_every_setting_is_documented_and_every_documented_setting_exists():
    code = (ROOT / "config" / "settings.py").read_text()
    read = set(re.findall(r'(?:env\.\w+|needed)\(\s*"([A-Z_]+)"', code))
    told = set(re.findall(r"^\| `([A-Z_]+)` \|", (ROOT / "docs" / "deploy.md").read_text(), re.MULTILINE))
    assert read == told


@pytest.mark.parametrize("page", PAGES, ids=lambda page: str(page.relative_to(ROOT)))
def test_files_and_commands_named_in_a_page_exist(page):
    text = page.read_text()
    for name in re.findall(r"manage(?:\.py)? ([a-z_]+)", text):
        assert name in get_commands() or name in {"one", "check"}, name
    for name in re.findall(r"run\.py (\w+)", text):
        assert name in {"demo", "test", "check", "bench", "manage"}, name
    for path in re.findall(rf"`((?:{FOLDERS})/[\w./-]+)`", text):
        if not path.endswith(("…", "/X")):
            assert (ROOT / path).exists(), path


def test_every_algorithm_page_belongs_to_a_module_and_says_its_source():
    for page in (ROOT / "docs" / "algorithms").glob("*.md"):
        assert re.search(r"[Ss]ource|from memory|common practice", page.read_text()), page.name
