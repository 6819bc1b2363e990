"""Eight writers and sixteen readers at once for twenty seconds: nobody may be refused, on either database.

The same load with SQLite's own way of opening transactions must fail: otherwise the measure measures nothing.
"""

import http.client
import os
import secrets
import socket
import subprocess
import sys
import tempfile
import threading
import time
from collections import Counter
from collections.abc import Iterator
from pathlib import Path

from tests.bench.measure import Figure

ROOT = Path(__file__).resolve().parents[2]
SECONDS = float(os.environ.get("VERGER_BENCH_SECONDS", "20"))
WRITERS, READERS = 8, 16
POSTGRES = os.environ.get("VERGER_BENCH_POSTGRES", "postgres://postgres@127.0.0.1:5432/")


def figures() -> Iterator[Figure]:
    with tempfile.TemporaryDirectory(prefix="verger-load-") as folder:
        yield _refused("SQLite", f"sqlite:///{folder}/load.sqlite3", folder)
        deferred = _count(f"sqlite:///{folder}/deferred.sqlite3", folder, "tests.bench.deferred")
        said = f"SQLite without transaction_mode: {deferred['refused']} of {deferred['asked']} refused (must be some)"
        yield Figure(said, 0 if deferred["refused"] else 1, 0, 0, 0)
        if _is_open(5432):
            name = f"verger_load_{os.getpid()}"
            _on_postgres(f"CREATE DATABASE {name}")
            try:
                yield _refused("PostgreSQL", f"{POSTGRES}{name}", folder)
            finally:
                _on_postgres(f"DROP DATABASE IF EXISTS {name} WITH (FORCE)")


def _refused(name: str, url: str, folder: str) -> Figure:
    counts = _count(url, folder, "config.settings")
    said = f"{name}: {counts['refused']} of {counts['asked']} refused, {counts['written']} written in {SECONDS:.0f} s"
    return Figure(said, counts["refused"], 0, 0, 0)


def _count(url: str, folder: str, settings: str) -> Counter[str]:
    """Serve a new church from this database and settings, and count what its visitors met."""
    env = {
        **os.environ,
        "DATABASE_URL": url,
        "DJANGO_SETTINGS_MODULE": settings,
        "VERGER_MODE": "local",
        "VERGER_VAR": folder,
    }
    made = subprocess.run(
        [sys.executable, "-W", "ignore", "-m", "tests.bench.load"],
        cwd=ROOT,
        env=env,
        capture_output=True,
        text=True,
        check=True,
    )
    session, place = made.stdout.split()[-2:]
    port = _free_port()
    bind = ["--bind", f"127.0.0.1:{port}", "--workers", "2", "--threads", "4", "--worker-class", "gthread"]
    server = subprocess.Popen(
        [
            sys.executable,
            "-m",
            "gunicorn",
            "config.wsgi:application",
            *bind,
            "--log-level",
            "critical",
            "--no-control-socket",
        ],
        cwd=ROOT,
        env=env,
        stderr=subprocess.DEVNULL,
    )
    try:
        _wait_for(port)
        return _visit(port, session, place)
    finally:
        server.terminate()
        server.wait(10)


def _visit(port: int, session: str, place: str) -> Counter[str]:
    counts: Counter[str] = Counter()
    lock, end = threading.Lock(), time.monotonic() + SECONDS
    token = secrets.token_hex(16)
    headers = {"Cookie": f"sessionid={session}; csrftoken={token}", "X-CSRFToken": token}

    def visitor(number: int, writes: bool) -> None:
        turn = 0
        while time.monotonic() < end:
            turn += 1
            try:
                status = _ask(port, headers, number * 100_000 + turn if writes else None, place)
            except OSError:
                status = 0
            with lock:
                counts["asked"] += 1
                counts["refused"] += status not in (200, 302)
                counts["written"] += bool(writes and status == 302)

    threads = [threading.Thread(target=visitor, args=(n, n < WRITERS)) for n in range(WRITERS + READERS)]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()
    return counts


def _ask(port: int, headers: dict[str, str], writes: int | None, place: str) -> int:
    visit = http.client.HTTPConnection("127.0.0.1", port, timeout=60)
    try:
        if writes is None:
            visit.request("GET", "/load/gear/", headers=headers)
        else:
            body = f"what=Thing+{writes}&place={place}&quantity=1&condition=not+yet+tested&area=misc&bond=ours"
            form = {**headers, "Content-Type": "application/x-www-form-urlencoded"}
            visit.request("POST", "/load/gear/add/", body, form)
        answer = visit.getresponse()
        answer.read()
        return answer.status
    finally:
        visit.close()


def _on_postgres(statement: str) -> None:
    import psycopg

    with psycopg.connect(f"{POSTGRES}postgres", autocommit=True) as connection:
        connection.execute(statement)


def _is_open(port: int) -> bool:
    with socket.socket() as probe:
        return probe.connect_ex(("127.0.0.1", port)) == 0


def _free_port() -> int:
    with socket.socket() as probe:
        probe.bind(("127.0.0.1", 0))
        return int(probe.getsockname()[1])


def _wait_for(port: int) -> None:
    for _ in range(150):
        if _is_open(port):
            return
        time.sleep(0.2)
    raise RuntimeError("The server did not start.")


def fill() -> None:
    """Make the church in the database of the environment; print the session's key and a place's id."""
    import django

    django.setup()
    from importlib import import_module

    from django.conf import settings
    from django.contrib.auth import BACKEND_SESSION_KEY, HASH_SESSION_KEY, SESSION_KEY
    from django.core.management import call_command

    from inventory.models import Place
    from people.models import User
    from tests.bench.pages import church

    call_command("migrate", verbosity=0)
    ministry = church("load", 200)
    lead = User.objects.get(email="lead@bench.example.org")
    session = import_module(settings.SESSION_ENGINE).SessionStore()
    session[SESSION_KEY] = str(lead.pk)
    session[BACKEND_SESSION_KEY] = "django.contrib.auth.backends.ModelBackend"
    session[HASH_SESSION_KEY] = lead.get_session_auth_hash()
    session.create()
    print(session.session_key, Place.objects.filter(ministry=ministry).first().pk)


if __name__ == "__main__":
    fill()
