"""The project's settings with SQLite's own way of opening transactions, to show what the project's way is for."""

from config.settings import *  # noqa: F403
from config.settings import DATABASES

DATABASES["default"]["OPTIONS"].pop("transaction_mode")
