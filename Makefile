# make demo    the shop with invented data, on this machine: web server, worker, broker
# make test    every check and test
# make bench   measurements
# make lock    write the two requirements files anew from pyproject.toml
# make clean   remove the environment and caches; the shop's data in var/ stay

PYTHON ?= $(shell for p in python3 python3.13 python3.12 python3.11 python; do \
	$$p -c 'import sys; sys.exit(not (3, 11) <= sys.version_info[:2] < (3, 14))' 2>/dev/null && echo $$p && break; done)
PY := .venv/bin/python

.PHONY: demo test bench lock clean

demo: .venv/.installed
	@$(PY) -m shop.launcher --demo

test: .venv/.installed-for-tests
	@$(PY) -m tests.checks

bench: .venv/.installed-for-tests
	@$(PY) -m tests.bench

lock: .venv/bin/python
	$(PY) -m pip install --quiet uv
	$(PY) -m uv pip compile --quiet --universal --python-version 3.11 --custom-compile-command "make lock" \
		pyproject.toml -o requirements.txt
	$(PY) -m uv pip compile --quiet --universal --python-version 3.11 --custom-compile-command "make lock" \
		-c requirements.txt --extra test pyproject.toml -o tests/requirements.txt

clean:
	rm -rf .venv .mypy_cache .pytest_cache .ruff_cache .import_linter_cache .hypothesis
	find . -name __pycache__ -type d -prune -exec rm -rf {} +

.venv/bin/python:
	@test -n "$(PYTHON)" || { echo "Python 3.11, 3.12 or 3.13 is needed and none was found. Name one: make PYTHON=/path/to/python"; exit 1; }
	$(PYTHON) -m venv .venv

.venv/.installed: requirements.txt | .venv/bin/python
	$(PY) -m pip install --quiet --disable-pip-version-check -r requirements.txt
	@touch $@

.venv/.installed-for-tests: tests/requirements.txt | .venv/bin/python
	$(PY) -m pip install --quiet --disable-pip-version-check -r tests/requirements.txt
	@touch $@
