"""Lists are read in a process of their own, which has limits and can be killed: a bad file hurts nobody.

The child imports no Django, gets no settings and no secrets, reads one request from its input and answers in JSON.
"""

from __future__ import annotations

import json
import os
import subprocess
import sys
import tempfile
from collections.abc import Mapping
from dataclasses import dataclass, field
from datetime import date
from pathlib import Path
from typing import Any

from inventory.compute.intake.draft import Draft, Unreadable

ROOT = Path(__file__).resolve().parents[2]
SECONDS = 25  # shorter than a web server waits for an answer
MEGABYTES = 1024  # of address space, libraries included
LARGEST_ANSWER = 200_000_000  # bytes of JSON
PASSED_ON = ("PATH", "SYSTEMROOT", "TEMP", "TMP", "TMPDIR", "LANG", "LC_ALL", "VIRTUAL_ENV")
MODULE = "inventory.services.intake_child"


@dataclass(frozen=True)
class Reading:
    """How one list is to be read: see `inventory.compute.intake.draft` for each word."""

    name: str
    day_first: bool
    currency: str
    today: date
    exponent: int = 2
    mapping: Mapping[tuple[str, str], str | None] = field(default_factory=dict)
    answers: Mapping[str, str] = field(default_factory=dict)

    def to_json(self, seconds: float, megabytes: int) -> str:
        """Return the request as one line."""
        return json.dumps(
            {
                "name": self.name,
                "day_first": self.day_first,
                "currency": self.currency,
                "today": self.today.isoformat(),
                "exponent": self.exponent,
                "mapping": [[sheet, letter, to] for (sheet, letter), to in self.mapping.items()],
                "answers": dict(self.answers),
                "seconds": seconds,
                "megabytes": megabytes,
            }
        )


def read_list(data: bytes, reading: Reading, *, seconds: float = SECONDS, megabytes: int = MEGABYTES) -> Draft:
    """Return what a list says, read in a child process.

    data: the file as it came. Raises Unreadable with a sentence; besides the codes of the reader itself: too_long (the
    time ran out), too_much (the memory ran out) and broke (the reader died).
    """
    with tempfile.TemporaryFile() as answer:
        code = _run(data, reading, seconds, megabytes, answer)
        size = answer.seek(0, os.SEEK_END)
        if size > LARGEST_ANSWER:
            raise _too_much(reading.name)
        answer.seek(0)
        text = answer.read().decode("utf-8")
    return _answered(text, code, reading.name)


def _run(data: bytes, reading: Reading, seconds: float, megabytes: int, answer: Any) -> int:
    """Run the child to its end or kill it; return its exit status."""
    request = reading.to_json(seconds, megabytes).encode() + b"\n" + data
    environment = {name: os.environ[name] for name in PASSED_ON if name in os.environ}
    with subprocess.Popen(
        [sys.executable, "-m", MODULE],
        cwd=ROOT,
        env={**environment, "PYTHONUTF8": "1", "PYTHONDONTWRITEBYTECODE": "1"},
        stdin=subprocess.PIPE,
        stdout=answer,
        stderr=subprocess.DEVNULL,
    ) as child:
        try:
            child.communicate(request, timeout=seconds)
        except subprocess.TimeoutExpired:
            child.kill()
            raise Unreadable(
                f"{reading.name} takes too long to read. Save the sheet you need as CSV, or cut the list in two.",
                "too_long",
            ) from None
        return child.returncode


def _answered(text: str, code: int, name: str) -> Draft:
    kind, _, rest = text.partition("\n")
    if code == 0 and kind == "draft":
        return Draft.from_json(rest)
    if code == 0 and kind == "unreadable":
        told = json.loads(rest)
        raise Unreadable(told["sentence"], told["code"])
    if kind == "memory":
        raise _too_much(name)
    raise Unreadable(
        f"{name} could not be read: the file broke the reader. Open it in a spreadsheet program, save it again as CSV "
        "and bring that.",
        "broke",
    )


def _too_much(name: str) -> Unreadable:
    return Unreadable(
        f"{name} holds more than can be read at once. Save only the sheet you need, without pictures, as CSV.",
        "too_much",
    )


def limit_this_process(seconds: float, megabytes: int) -> bool:
    """Bound the memory and processor time of this process for good; False where the system has no such limits."""
    try:
        import resource
    except ImportError:  # Windows: the parent's clock is the only limit
        return False
    for what, amount in ((resource.RLIMIT_AS, megabytes * 1024 * 1024), (resource.RLIMIT_CPU, int(seconds) + 1)):
        _soft, hard = resource.getrlimit(what)
        top = amount if hard == resource.RLIM_INFINITY else min(amount, hard)
        try:
            resource.setrlimit(what, (top, top))
        except (ValueError, OSError):  # macOS refuses some of them
            continue
    return True


def _drafted(request: Mapping[str, Any], data: bytes) -> str:
    from inventory.compute.intake import draft

    return draft(
        data,
        request["name"],
        day_first=request["day_first"],
        currency=request["currency"],
        exponent=request["exponent"],
        today=date.fromisoformat(request["today"]),
        mapping={(sheet, letter): to for sheet, letter, to in request["mapping"]},
        answers=request["answers"],
    ).to_json()


def main() -> int:
    """Answer the request on the input: a word, a line break, and JSON."""
    request = json.loads(sys.stdin.buffer.readline())
    limit_this_process(request["seconds"], request["megabytes"])
    try:
        answer = "draft\n" + _drafted(request, sys.stdin.buffer.read())
    except Unreadable as told:
        answer = "unreadable\n" + json.dumps({"sentence": told.sentence, "code": told.code})
    except (MemoryError, RecursionError):
        answer = "memory\n"
    sys.stdout.buffer.write(answer.encode("utf-8", "replace"))
    sys.stdout.buffer.flush()
    return 0


if __name__ == "__main__":
    sys.exit(main())
