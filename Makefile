# The README's two commands are `make demo` and `make test`; both need nothing but python3.
PYTHON ?= python3
VENV := .venv
BIN := $(VENV)/bin
PIP := $(BIN)/python -m pip install --quiet --disable-pip-version-check --constraint constraints.txt
DEMO := .demo/saltmarsh
SHOWN := long-bed-6mm-6082-max

.PHONY: demo test lint reference docs bench mutation clean

$(BIN)/python:
	$(PYTHON) -m venv $(VENV)

$(VENV)/.run-ready: pyproject.toml constraints.txt | $(BIN)/python
	@echo "installing into $(VENV), which takes about a minute ..." >&2
	$(PIP) --editable .
	@touch $@

$(VENV)/.test-ready: pyproject.toml constraints.txt | $(BIN)/python
	$(PIP) --editable '.[test]'
	@touch $@ $(VENV)/.run-ready

$(VENV)/.lint-ready: pyproject.toml constraints.txt | $(BIN)/python
	$(PIP) --editable '.[test,lint]'
	@touch $@ $(VENV)/.test-ready $(VENV)/.run-ready

$(VENV)/.docs-ready: pyproject.toml constraints.txt | $(BIN)/python
	$(PIP) --editable '.[docs]'
	@touch $@ $(VENV)/.run-ready

$(VENV)/.bench-ready: pyproject.toml constraints.txt | $(BIN)/python
	$(PIP) --editable '.[fast]'
	@touch $@ $(VENV)/.run-ready

$(VENV)/.mutation-ready: pyproject.toml constraints.txt | $(BIN)/python
	$(PIP) --editable '.[test,mutation]'
	@touch $@ $(VENV)/.test-ready $(VENV)/.run-ready

$(DEMO)/book.toml: | $(VENV)/.run-ready
	$(BIN)/swarfbook init $(DEMO) --demo

# One recipe is over a limit on purpose, so the list leaves with 1; anything above that is a fault.
demo: $(VENV)/.run-ready $(DEMO)/book.toml
	@if [ -t 0 ] && [ -t 1 ]; then \
	  $(BIN)/swarfbook open --book $(DEMO); \
	else \
	  $(BIN)/swarfbook list --book $(DEMO) || [ $$? -eq 1 ]; echo; \
	  $(BIN)/swarfbook derate $(SHOWN) --margin 25% --book $(DEMO); \
	fi

test: $(VENV)/.test-ready
	$(BIN)/python -m pytest

lint: $(VENV)/.lint-ready
	$(BIN)/ruff check .
	$(BIN)/mypy
	$(BIN)/mypy tests/api/typed_client.py
	$(BIN)/lint-imports

# All warnings are errors: a docstring or a link that does not read fails here.
docs: $(VENV)/.docs-ready
	$(BIN)/python -m sphinx -b html -W --keep-going -q -j 2 -d build/doctrees docs build/docs

# docs/glossary.md and docs/reference/: written anew from what the code declares.
reference: $(VENV)/.test-ready
	$(BIN)/python tests/docs/write_reference.py

bench: $(VENV)/.bench-ready
	$(BIN)/python benchmarks/run_all.py

# Hours, unless MUTATION asks for less: make mutation MUTATION="--sample 20 --seed 1", MUTATION="chip heat".
mutation: $(VENV)/.mutation-ready
	nice -n 15 $(BIN)/python tests/mutation/run.py $(MUTATION)

clean:
	rm -rf $(VENV) .demo build dist docs/generated .pytest_cache .mypy_cache .ruff_cache .hypothesis
