"""The demo: invented churches read from the tables in fixtures/demo (see the README there)."""
