# Everything a newcomer types. `make` alone lists it.

PYTHON ?= python3
VENV := .venv
BIN := $(VENV)/bin
STAMP := $(VENV)/.installed
WORKERS ?= 3

.DEFAULT_GOAL := help
.PHONY: help setup demo test coverage check bench prove screenshots lock clean browser

help: ## List what can be made
	@grep -E '^[a-z]+:.*## ' $(MAKEFILE_LIST) | sed -E 's/^([a-z]+):.*## /\1	/' | expand -t 12

setup: $(STAMP) ## Make the virtual environment and install what the lock names

$(STAMP): requirements-dev.lock pyproject.toml
	@$(PYTHON) -c 'import sys; sys.exit(sys.version_info < (3, 11))' || \
	  { echo "Foothill needs Python 3.11 or newer; $(PYTHON) is not. Try: make setup PYTHON=python3.12" >&2; exit 1; }
	$(PYTHON) -m venv $(VENV)
	$(BIN)/python -m pip install --quiet --disable-pip-version-check --no-deps --require-hashes -r requirements-dev.lock
	$(BIN)/python -m pip install --quiet --disable-pip-version-check --no-deps --no-build-isolation -e .
	@touch $@

demo: setup ## Open the invented practice in the browser (PORT=8500 where the usual port is taken)
	$(BIN)/foothill demo $(if $(PORT),--port $(PORT))

# Two runs: a tracer beside a browser's driver (greenlets) can send Python 3.11 round and round one instruction for ever.
test: setup browser ## Run every test; the formulae must be covered whole
	$(BIN)/python -m pytest -n $(WORKERS) tests/physiology --cov=app/physiology --cov-report=term --cov-fail-under=100
	$(BIN)/python -m pytest -n $(WORKERS) --ignore=tests/physiology

coverage: setup browser ## Run every test and measure all of the app (takes nearly twice as long)
	$(BIN)/python -m pytest -n $(WORKERS) --cov --cov-report=term

browser: setup
	@$(BIN)/python tools/find_chromium.py

check: setup ## Lint, format, types and the floors of the house
	$(BIN)/ruff check .
	$(BIN)/ruff format --check .
	$(BIN)/mypy
	$(BIN)/lint-imports --no-cache

bench: setup ## Measure the slow paths (tests/bench)
	$(BIN)/python -m pytest tests/bench -q -s

prove: setup ## Run the long proofs (tests/prove)
	$(BIN)/python -m pytest tests/prove -q

screenshots: setup browser ## Take the pictures of docs/screenshots from the demo
	$(BIN)/python tools/screenshots.py

lock: setup ## Pin the newest versions again (needs uv on the path)
	$(BIN)/python tools/make_lock.py

clean: ## Remove everything that was made here
	rm -rf $(VENV) build dist htmlcov .coverage .coverage.* .pytest_cache .mypy_cache .ruff_cache .hypothesis
	find app tests tools migrations -name __pycache__ -type d -prune -exec rm -rf {} + 2>/dev/null || true
