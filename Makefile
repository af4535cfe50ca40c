# Everything a newcomer runs. Each target does its own set-up; all it asks of the machine is
# Python 3.11 or newer with pip, and make. To choose the interpreter: make test PYTHON=python3.12

PYTHON ?=
WORKERS ?= 2
VENV := .venv
BIN := $(VENV)/bin

# Expanded where it is used, so that `make help` and `make clean` look for no interpreter.
FIND_PYTHON = python=$$(sh tools/find_python.sh $(if $(PYTHON),"$(PYTHON)"))
COMPILE = .venv-lock/bin/uv pip compile --quiet --universal --python-version 3.11 \
	--generate-hashes --no-emit-index-url --no-emit-find-links \
	--custom-compile-command "make lock" $(UPGRADE)

.DEFAULT_GOAL := help
.PHONY: help try test check bench prove lock clean run-env test-env

help: ## Show this list
	@sed -n 's/^\([a-z]*\):.*## /\1	/p' $(MAKEFILE_LIST) | expand -t 10

try: run-env ## Write, check and make a demo job in ./try
	@$(BIN)/dryfit try --into try --force

test: test-env ## Run every test, and the demo on Python 3.11 where there is one
	@echo "Running the tests"
	@$(BIN)/python -m pytest -q -n $(WORKERS)
	@$(FIND_PYTHON) && sh tools/smoke.sh "$$python"

check: test-env ## Format, lint, strict types, import contracts, docs
	@echo "Checking the format"
	@$(BIN)/ruff format --quiet --check .
	@echo "Linting"
	@$(BIN)/ruff check --quiet .
	@echo "Checking the types"
	@$(BIN)/mypy
	@echo "Checking the layers"
	@$(BIN)/lint-imports --no-logo
	@echo "Checking the docs"
	@$(BIN)/python tools/check_docs.py

bench: test-env ## Print growth and ratios, and keep them in docs/benchmarks.md
	@env PYTHONPATH=. $(BIN)/python tools/bench.py --write

prove: test-env ## Run the long evidence and write docs/validation.md
	@env PYTHONPATH=. $(BIN)/python tools/prove.py

lock: ## Pin the dependencies anew (UPGRADE=--upgrade for the newest)
	@$(FIND_PYTHON) && "$$python" -m venv .venv-lock
	@.venv-lock/bin/python -m pip install -qq --disable-pip-version-check \
		--require-hashes -r requirements/lock.txt
	@$(COMPILE) pyproject.toml --extra test --extra scripts --group build \
		--output-file requirements/test.txt
	@$(COMPILE) pyproject.toml --group build --constraint requirements/test.txt \
		--output-file requirements/run.txt
	@$(COMPILE) --group lock --output-file requirements/lock.txt

clean: ## Remove everything that the targets above have made
	@rm -rf .venv .venv-3.11 .venv-lock .mypy_cache .ruff_cache .pytest_cache .hypothesis \
		.import_linter_cache build dist try src/*.egg-info
	@find src tests tools -name __pycache__ -type d -prune -exec rm -rf {} +

run-env:
	@$(FIND_PYTHON) && sh tools/venv.sh "$$python" $(VENV) run

test-env:
	@$(FIND_PYTHON) && sh tools/venv.sh "$$python" $(VENV) test
