"""The project's settings with the framework's own admin beside it, as the baseline of the list page."""

import os
import tempfile
from pathlib import Path

os.environ.setdefault("VERGER_MODE", "test")
_FOLDER = Path(tempfile.mkdtemp(prefix="verger-bench-"))
os.environ.setdefault("DATABASE_URL", f"sqlite:///{_FOLDER / 'bench.sqlite3'}")
os.environ.setdefault("MEDIA_ROOT", str(_FOLDER / "files"))

from config.settings import *  # noqa: E402, F403
from config.settings import INSTALLED_APPS, TEMPLATES  # noqa: E402

INSTALLED_APPS = ["django.contrib.admin", *INSTALLED_APPS]
TEMPLATES[0]["OPTIONS"]["context_processors"] += [
    "django.contrib.auth.context_processors.auth",
    "django.contrib.messages.context_processors.messages",
]
SILENCED_SYSTEM_CHECKS = ["admin.E403", "admin.E408", "admin.E409", "admin.E410"]
ROOT_URLCONF = "tests.bench.addresses"
