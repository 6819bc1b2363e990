"""How long a command takes to start, and what it must not have loaded by then."""

import json
import os
import subprocess
import sys
import time
from collections.abc import Iterator
from pathlib import Path

from tests.bench.measure import Figure

ROOT = Path(__file__).resolve().parents[2]
HEAVY = ("reportlab", "highspy", "numpy", "xlsxwriter", "python_calamine", "PIL", "networkx")
BARE = "import django; django.setup()"
COMMAND = (
    "import django; django.setup(); from django.core.management import call_command; import io; "
    "call_command('check', stdout=io.StringIO()); import config.urls, config.wsgi"
)


def figures() -> Iterator[Figure]:
    for _ in range(2):
        figure = _measured()
        if figure.holds:
            break
    yield figure
    loaded = subprocess.run(
        [
            sys.executable,
            "-W",
            "ignore",
            "-c",
            f"{COMMAND}; import json, sys; print(json.dumps([m for m in {HEAVY!r} if m in sys.modules]))",
        ],
        cwd=ROOT,
        env=_env(),
        capture_output=True,
        text=True,
        check=True,
    )
    found = json.loads(loaded.stdout.strip().splitlines()[-1])
    yield Figure(f"heavy modules loaded at start {found}", len(found), 0, 0, 0)


def _measured() -> Figure:
    bare, ours = [], []
    for _ in range(7):
        bare.append(_seconds(BARE))
        ours.append(_seconds(COMMAND))
    mine, other = sorted(ours)[3], sorted(bare)[3]
    return Figure(
        "start of a command with all addresses : bare django.setup", mine / other, 2.2, mine * 1000, other * 1000
    )


def _seconds(code: str) -> float:
    start = time.perf_counter()
    subprocess.run([sys.executable, "-W", "ignore", "-c", code], cwd=ROOT, env=_env(), check=True)
    return time.perf_counter() - start


def _env() -> dict[str, str]:
    return {**os.environ, "DJANGO_SETTINGS_MODULE": "config.settings", "VERGER_MODE": "test"}
