"""Tracked rows are written in one place; nothing else updates, bulk-writes or deletes rows past their history."""

import ast
from pathlib import Path

import pytest

ROOT = Path(__file__).resolve().parent.parent
THE_DOOR = ROOT / "people" / "services" / "record.py"
SOURCES = sorted(
    path
    for app in ("people", "inventory", "roadmap", "config")
    for path in (ROOT / app).rglob("*.py")
    if "migrations" not in path.parts and path != THE_DOOR
)
BULK = {"bulk_create", "bulk_update", "_raw_delete", "update_or_create", "abulk_create", "abulk_update", "aupdate"}
NO_HISTORY_OF_OURS = ("session", "axes", "AccessAttempt")


def forbidden(tree: ast.AST) -> list[str]:
    """Return the calls that write rows past the door, as "line: code".

    `.update(` of a queryset takes names only, of a dict or a set a value; `.delete()` of a row takes nothing, of a
    file storage a name.
    """
    found = []
    for node in ast.walk(tree):
        if not (isinstance(node, ast.Call) and isinstance(node.func, ast.Attribute)):
            continue
        on, what = ast.unparse(node.func.value), node.func.attr
        named_only = bool(node.keywords) and not node.args
        of_rows = ".objects" in on or "_default_manager" in on or ".filter(" in on
        writes = what in BULK or (what == "update" and (named_only or of_rows)) or (what == "delete" and not node.args)
        if writes and not any(word in on for word in NO_HISTORY_OF_OURS):
            found.append(f"{node.lineno}: {ast.unparse(node)[:100]}")
        if what == "execute" and not ast.unparse(node).upper().count("SELECT"):
            found.append(f"{node.lineno}: {ast.unparse(node)[:100]}")
    return found


@pytest.mark.parametrize("path", SOURCES, ids=lambda path: str(path.relative_to(ROOT)))
def test_no_module_writes_rows_past_the_door(path):
    assert forbidden(ast.parse(path.read_text(encoding="utf-8"))) == []


@pytest.mark.parametrize(
    "code",
    [
        "Piece.objects.filter(fate='sell').update(fate='use here')",
        "rows.update(note='')",
        "Piece.objects.bulk_create(rows)",
        "piece.delete()",
        "Piece.objects.all().delete()",
        "rows._raw_delete('default')",
        "cursor.execute('UPDATE inventory_piece SET note = 1')",
    ],
)
def test_the_ways_past_the_door_are_known(code):
    assert forbidden(ast.parse(code))


@pytest.mark.parametrize("code", ["names.update(changed)", "storage.delete(name)", "request.session.delete()"])
def test_what_writes_no_row_of_ours_is_let_be(code):
    assert not forbidden(ast.parse(code))
