"""What run.py chooses on each system, without doing it."""

import importlib.util
import socket
from pathlib import Path

import pytest

spec = importlib.util.spec_from_file_location("run", Path(__file__).parent.parent / "run.py")
run = importlib.util.module_from_spec(spec)
spec.loader.exec_module(run)


@pytest.mark.parametrize(
    ("system", "tail"),
    [("linux", "bin/python"), ("darwin", "bin/python"), ("win32", "Scripts/python.exe")],
)
def test_the_environment_s_python_is_found_on_each_system(system, tail):
    assert run.python_in(Path("venv"), system).as_posix() == f"venv/{tail}"


def test_gunicorn_serves_where_it_runs_and_the_plain_server_elsewhere():
    assert "gunicorn" in run.server_command(Path("py"), "linux", 8000)
    assert "gunicorn" in run.server_command(Path("py"), "darwin", 8000)
    assert "runserver" in run.server_command(Path("py"), "win32", 8123)
    assert "127.0.0.1:8123" in run.server_command(Path("py"), "win32", 8123)


def test_a_missing_venv_module_is_installed_as_root_and_explained_otherwise():
    assert run.way_to_get_venv("linux", True, True, (3, 12))[-1] == "python3.12-venv"
    assert "sudo apt-get install python3.12-venv" in run.way_to_get_venv("linux", False, True, (3, 12))
    assert isinstance(run.way_to_get_venv("darwin", False, False, (3, 12)), str)


def test_a_busy_port_is_passed_over():
    with socket.socket() as busy:
        busy.bind(("127.0.0.1", 0))
        busy.listen()
        port = busy.getsockname()[1]
        assert run.free_port(port) > port


def test_a_command_that_fails_is_told_with_its_last_words():
    with pytest.raises(run.Stop, match="no such folder here"):
        run.run(["sh", "-c", "echo no such folder here; exit 3"], quiet=True)


def test_the_lock_files_name_exact_versions_and_no_address():
    for lock in (run.RUN_LOCK, run.DEV_LOCK):
        for line in lock.read_text().splitlines():
            assert "==" in line and "://" not in line and "@" not in line, line
    assert set(run.RUN_LOCK.read_text().splitlines()) <= set(run.DEV_LOCK.read_text().splitlines())


def test_an_old_python_is_told_so(monkeypatch, capsys):
    monkeypatch.setattr(run.sys, "version_info", (3, 9))
    assert run.main(["test"]) == 1
    assert "3.11" in capsys.readouterr().out
