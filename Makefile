# Thin aliases: everything is done by run.py.
.PHONY: demo test check bench

demo test check bench:
	python3 run.py $@
