#!/usr/bin/env python3
"""Set Verger up and run it, with nothing but Python.

    python3 run.py demo [--reset] [--port 8000]   the loaded demo in your browser
    python3 run.py test [pytest's options]         the whole suite
    python3 run.py check                           format, lint, types, import contract, migrations, audit
    python3 run.py bench                           the benchmark, as ratios
    python3 run.py manage …                        one of manage.py's commands

Only the standard library is used here. The environment stands in .venv, the data in var/.
"""

from __future__ import annotations

import argparse
import hashlib
import os
import shutil
import socket
import subprocess
import sys
from collections.abc import Mapping, Sequence
from pathlib import Path

ROOT = Path(__file__).resolve().parent
VENV = ROOT / ".venv"
VAR = ROOT / "var"
OLDEST = (3, 11)
APPS = ("people", "inventory", "roadmap")
RUN_LOCK, DEV_LOCK = ROOT / "requirements.lock", ROOT / "requirements-dev.lock"


class Stop(Exception):
    """Something a person must do first; the sentence says what."""


# What differs between systems: decided here by name alone, so that a test can ask for each.


def python_in(venv: Path, system: str) -> Path:
    """Return the environment's own Python; system: sys.platform ("linux", "darwin", "win32")."""
    return venv / "Scripts" / "python.exe" if system == "win32" else venv / "bin" / "python"


def server_command(python: Path, system: str, port: int) -> list[str]:
    """Return the command that serves on this machine: gunicorn needs a POSIX system, elsewhere the plain server."""
    if system == "win32":
        return [str(python), "manage.py", "runserver", "--noreload", f"127.0.0.1:{port}"]
    bind = ["--bind", f"127.0.0.1:{port}", "--workers", "2", "--threads", "4", "--worker-class", "gthread"]
    quiet = ["--no-control-socket", "--log-level", "warning", "--timeout", "120"]
    return [str(python), "-m", "gunicorn", "config.wsgi:application", *bind, *quiet]


def way_to_get_venv(system: str, is_root: bool, has_apt: bool, version: tuple[int, int]) -> list[str] | str:
    """Return the command that brings the venv module, or the sentence that tells a person what to type."""
    package = f"python{version[0]}.{version[1]}-venv"
    if system == "linux" and has_apt:
        if is_root:
            return ["apt-get", "install", "-y", "--no-install-recommends", package]
        return f"This Python lacks its venv module. Type: sudo apt-get install {package}   and run this again."
    return (
        "This Python lacks its venv module. Install Python from your system's packages with venv, and run this again."
    )


def free_port(wanted: int) -> int:
    """Return the wanted port of this machine, or the next free one of the twenty above it."""
    for port in range(wanted, wanted + 20):
        with socket.socket() as probe:
            probe.setsockopt(socket.SOL_SOCKET, socket.SO_REUSEADDR, 1)
            try:
                probe.bind(("127.0.0.1", port))
            except OSError:
                continue
            return port
    raise Stop(f"Ports {wanted} to {wanted + 19} are all busy. Choose another: python3 run.py demo --port 9000")


def say(text: str) -> None:
    print(text, flush=True)


def run(command: Sequence[str], env: Mapping[str, str] | None = None, quiet: bool = False) -> None:
    """Run a command in the project's folder; raise Stop with its last words when it fails."""
    done = subprocess.run(
        list(command),
        cwd=ROOT,
        env={**os.environ, **(env or {})},
        stdout=subprocess.PIPE if quiet else None,
        stderr=subprocess.STDOUT if quiet else None,
        text=True,
        check=False,
    )
    if done.returncode:
        words = "\n".join((done.stdout or "").strip().splitlines()[-15:])
        raise Stop(f"This did not work: {' '.join(command)}\n{words}")


def has_venv() -> bool:
    """Tell whether this Python can make an environment with pip in it (Debian ships the two apart)."""
    probe = [sys.executable, "-c", "import venv, ensurepip"]
    return subprocess.run(probe, capture_output=True, check=False).returncode == 0


def bring_venv() -> None:
    is_root = hasattr(os, "geteuid") and os.geteuid() == 0
    way = way_to_get_venv(sys.platform, is_root, bool(shutil.which("apt-get")), sys.version_info[:2])
    if isinstance(way, str):
        raise Stop(way)
    say("Installing Python's venv module …")
    run(["apt-get", "update", "-qq"], quiet=True)
    run(way, {"DEBIAN_FRONTEND": "noninteractive"}, quiet=True)


def build(lock: Path) -> Path:
    """Make .venv and install the locked packages unless they are there; return its Python."""
    python = python_in(VENV, sys.platform)
    mark = VENV / "installed-from"
    wanted = {p.name: hashlib.sha256(p.read_bytes()).hexdigest() for p in (RUN_LOCK, DEV_LOCK)}
    installed = mark.read_text().split() if mark.exists() and python.exists() else []
    if wanted[lock.name] in installed:
        return python
    if not python.exists():
        if not has_venv():
            bring_venv()
        say("Making an environment in .venv …")
        run([sys.executable, "-m", "venv", str(VENV)], quiet=True)
    say("Installing the packages (some minutes the first time) …")
    pip = [str(python), "-m", "pip", "install", "--quiet", "--disable-pip-version-check"]
    run([*pip, "-r", str(lock)], quiet=True)
    # The development lock holds everything the other one does.
    mark.write_text("\n".join([wanted[lock.name], *([wanted[RUN_LOCK.name]] if lock == DEV_LOCK else [])]))
    return python


def demo(args: argparse.Namespace) -> None:
    python = build(RUN_LOCK if not (VENV / "installed-from").exists() else which_lock())
    env = {"VERGER_MODE": "local"}
    manage = [str(python), "manage.py"]
    if args.reset and VAR.exists():
        say("Starting afresh: the demo's data in var/ are removed.")
        for name in ("verger.sqlite3", "verger.sqlite3-wal", "verger.sqlite3-shm", "demo-loaded"):
            (VAR / name).unlink(missing_ok=True)
        shutil.rmtree(VAR / "files", ignore_errors=True)
    VAR.mkdir(exist_ok=True)
    say("Preparing the database …")
    run([*manage, "migrate", "--no-input", "--verbosity", "0"], env)
    if not (VAR / "demo-loaded").exists():
        say("Loading the demo …")
        run([*manage, "demo"], env)
        (VAR / "demo-loaded").touch()
    else:
        say("The demo is loaded already; what you changed is kept. To start afresh: python3 run.py demo --reset")
        run([*manage, "demo", "--who"], env)
    port = free_port(args.port)
    if port != args.port:
        say(f"Port {args.port} is busy; taking {port}.")
    say(f"\nOpen http://127.0.0.1:{port}/ in your browser. Stop with Ctrl-C.")
    serve(server_command(python, sys.platform, port), env)


def which_lock() -> Path:
    """Return the lock an existing environment was built from, so that a demo does not shrink a developer's."""
    mark = (VENV / "installed-from").read_text()
    return DEV_LOCK if hashlib.sha256(DEV_LOCK.read_bytes()).hexdigest() in mark else RUN_LOCK


def serve(command: list[str], env: Mapping[str, str]) -> None:
    try:
        subprocess.run(command, cwd=ROOT, env={**os.environ, **env}, check=False)
    except KeyboardInterrupt:
        say("\nStopped.")


def test(args: argparse.Namespace) -> None:
    python = build(DEV_LOCK)
    spread = [] if any(a.startswith(("-n", "-p", "--pdb")) for a in args.rest) else ["-n", "2"]
    # Browser tests share one server and one browser, so they stay on one worker.
    run([str(python), "-m", "pytest", "-q", *spread, "--dist", "loadgroup", *args.rest], {"VERGER_MODE": "test"})


def packages_in(layer: str) -> list[str]:
    """Return mypy's arguments for one layer of every app."""
    return [part for app in APPS for part in ("-p", f"{app}.{layer}")]


def check(args: argparse.Namespace) -> None:
    python = build(DEV_LOCK)
    tools = python.parent
    folders = ["config", "people", "inventory", "roadmap", "tests", "run.py", "manage.py"]
    env = {"VERGER_MODE": "test"}
    mypy = [str(python), "-m", "mypy", "--follow-imports=silent"]
    pytest = [str(python), "-m", "pytest", "-q", "-n", "2"]
    covered = ["--cov-branch", "--cov-report=", *(f"--cov={app}.compute" for app in APPS)]
    checks: list[tuple[str, list[str]]] = [
        ("format", [str(python), "-m", "ruff", "format", "--check", *folders]),
        ("lint", [str(python), "-m", "ruff", "check", *folders]),
        ("import contract", [str(tools / "lint-imports")]),
        ("missing migrations", [str(python), "manage.py", "makemigrations", "--check", "--dry-run"]),
        ("set-up", [str(python), "manage.py", "check"]),
        ("types of compute", [*mypy, "--strict", *packages_in("compute")]),
        ("types of services and models", [*mypy, *packages_in("services"), *packages_in("models")]),
        ("branches of compute covered by its tests", [*pytest, "tests/compute", *covered, "--cov-fail-under=95"]),
        (
            "known weaknesses of packages",
            [str(python), "-m", "pip_audit", "-r", str(RUN_LOCK), "--no-deps", "--disable-pip"],
        ),
    ]
    failed = []
    for name, command in checks:
        say(f"— {name}")
        try:
            run(command, env)
        except Stop as stop:
            say(str(stop))
            failed.append(name)
    if failed:
        raise Stop(f"Failed: {', '.join(failed)}.")


def bench(args: argparse.Namespace) -> None:
    python = build(DEV_LOCK)
    run([str(python), "-m", "tests.bench", *args.rest], {"VERGER_MODE": "test"})


def manage(args: argparse.Namespace) -> None:
    python = build(RUN_LOCK if not (VENV / "installed-from").exists() else which_lock())
    run([str(python), "manage.py", *args.rest], {"VERGER_MODE": os.environ.get("VERGER_MODE", "local")})


def main(argv: Sequence[str] | None = None) -> int:
    if sys.version_info < OLDEST:
        print(f"Verger needs Python {OLDEST[0]}.{OLDEST[1]} or newer; this is {sys.version.split()[0]}.")
        return 1
    parser = argparse.ArgumentParser(prog="run.py", description="Set Verger up and run it.")
    commands = parser.add_subparsers(dest="command", required=True)
    one = commands.add_parser("demo", help="set up and serve the loaded demo")
    one.add_argument("--reset", action="store_true", help="throw the demo's data away and load it again")
    one.add_argument("--port", type=int, default=8000)
    for name, words in (
        ("test", "run the suite"),
        ("check", "run the checks"),
        ("bench", "measure"),
        ("manage", "a command"),
    ):
        commands.add_parser(name, help=words, add_help=False)
    args, rest = parser.parse_known_args(argv)
    args.rest = rest
    actions = {"demo": demo, "test": test, "check": check, "bench": bench, "manage": manage}
    try:
        actions[args.command](args)
    except Stop as stop:
        print(stop, file=sys.stderr)
        return 1
    except KeyboardInterrupt:
        return 130
    return 0


if __name__ == "__main__":
    raise SystemExit(main())
