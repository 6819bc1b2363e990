"""The program as a user gets it: its own process, its own database file with the demo loaded, on a free port."""

import os
import socket
import subprocess
import sys
import time
import urllib.error
import urllib.request
from dataclasses import dataclass
from pathlib import Path

import run

PATIENCE_S = 60.0
# Settings of the suite or of the caller that must not reach the served program.
FOREIGN = {"DATABASE_URL", "DJANGO_SETTINGS_MODULE", "SECRET_KEY", "ALLOWED_HOSTS", "MEDIA_ROOT", "PYTEST_CURRENT_TEST"}


@dataclass
class Server:
    """Where the demo is served; `log` holds what the program wrote."""

    url: str
    process: subprocess.Popen[bytes]
    log: Path

    def stop(self) -> None:
        self.process.terminate()
        try:
            self.process.wait(10)
        except subprocess.TimeoutExpired:
            self.process.kill()


def environment(folder: Path) -> dict[str, str]:
    """Return an environment in which the program keeps everything it writes in this folder."""
    kept = {name: value for name, value in os.environ.items() if name not in FOREIGN}
    return {**kept, "VERGER_MODE": "local", "VERGER_VAR": str(folder)}


def fill(folder: Path) -> None:
    """Make the database and load the demo into it."""
    for words in (["migrate", "--no-input", "--verbosity", "0"], ["demo"]):
        done = subprocess.run(
            [sys.executable, "manage.py", *words],
            cwd=run.ROOT,
            env=environment(folder),
            capture_output=True,
            text=True,
            check=False,
        )
        assert done.returncode == 0, f"manage.py {words[0]} failed:\n{done.stderr[-3000:]}"


def free_port() -> int:
    with socket.socket() as probe:
        probe.bind(("127.0.0.1", 0))
        return int(probe.getsockname()[1])


def start(folder: Path) -> Server:
    """Fill a database in this folder and serve it; return once it answers."""
    fill(folder)
    port, log = free_port(), folder / "server.log"
    command = run.server_command(Path(sys.executable), sys.platform, port)
    with log.open("wb") as written:
        process = subprocess.Popen(
            command, cwd=run.ROOT, env=environment(folder), stdout=written, stderr=subprocess.STDOUT
        )
    server = Server(f"http://127.0.0.1:{port}", process, log)
    until = time.monotonic() + PATIENCE_S
    while not answers(server):
        if process.poll() is not None or time.monotonic() > until:
            server.stop()
            raise AssertionError(f"The server did not start:\n{log.read_text()[-3000:]}")
        time.sleep(0.1)
    return server


def answers(server: Server) -> bool:
    try:
        with urllib.request.urlopen(f"{server.url}/healthz/", timeout=5) as answer:
            return bool(answer.status == 200)
    except (urllib.error.URLError, OSError):
        return False
