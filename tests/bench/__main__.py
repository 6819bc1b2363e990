"""Print every figure; `python3 run.py bench [compute paper pages intake start load]`. Ends with 1 when one misses."""

import os
import sys

PARTS = ("compute", "paper", "start", "pages", "intake", "load")


def main() -> int:
    os.environ["DJANGO_SETTINGS_MODULE"] = "tests.bench.settings"
    import django

    django.setup()
    from importlib import import_module

    from django.core.management import call_command

    asked = [part for part in PARTS if part in sys.argv[1:]] or list(PARTS)
    if {"pages", "intake", "load"} & set(asked):
        call_command("migrate", verbosity=0)
    missed = 0
    for part in asked:
        print(f"— {part}", flush=True)
        for figure in import_module(f"tests.bench.{part}").figures():
            print(figure.line(), flush=True)
            missed += not figure.holds
    print(f"{missed} of the figures miss their goal." if missed else "Every figure is within its goal.")
    return 1 if missed else 0


if __name__ == "__main__":
    raise SystemExit(main())
