# Run `make` alone to see what there is. Everything is installed into .venv; nothing outside the
# checkout is touched, except that `make test` installs a browser if the machine has none.

PYTHON ?= python3
VENV := .venv
BIN := $(VENV)/bin
PIP := $(BIN)/python -m pip --disable-pip-version-check install --quiet
LOCK := requirements-dev.txt
BROWSERS := chromium-headless-shell chromium chromium-browser google-chrome google-chrome-stable

.DEFAULT_GOAL := help
.PHONY: help site serve check test lint prove bench browser lock clean

help: ## list these targets
	@awk -F ':.*## ' '/^[a-z]+:.*## /{printf "  make %-8s %s\n", $$1, $$2}' $(MAKEFILE_LIST)

site: $(VENV)/.site-stamp ## build the demo site into site/
	$(BIN)/recordgen build
	@echo
	@echo "The site is in $(CURDIR)/site: open $(CURDIR)/site/index.html in a browser,"
	@echo "or run 'make serve' to see it change while you edit the records."

serve: $(VENV)/.site-stamp ## show the demo site, reloading when a record changes
	$(BIN)/recordgen serve

check: $(VENV)/.site-stamp ## check the demo records
	$(BIN)/recordgen check

test: lint browser ## ruff, mypy and the tests
	$(BIN)/python -m pytest -n auto --dist loadgroup

lint: $(VENV)/.dev-stamp ## ruff and mypy only
	$(BIN)/ruff check .
	$(BIN)/ruff format --check .
	$(BIN)/mypy

prove: $(VENV)/.dev-stamp browser ## the long tests, minutes each
	$(BIN)/python -m pytest -m long

bench: $(VENV)/.dev-stamp ## time and memory of check, graph and build, and of large networks
	$(BIN)/python -m benchmarks
	$(BIN)/python -m benchmarks.network

# The headless build opens a page in a third of the time; not every Debian has it.
browser: # a browser for the page tests, unless there is one
	@for name in $(BROWSERS); do command -v $$name >/dev/null && exit 0; done; \
	install="apt-get install -y -qq"; \
	if ! command -v apt-get >/dev/null; then asroot=none; \
	elif [ "$$(id -u)" = 0 ]; then asroot=; \
	elif sudo -n true 2>/dev/null; then asroot=sudo; \
	else asroot=none; fi; \
	if [ "$$asroot" = none ]; then \
	  echo "The page tests need Chromium or Chrome, and none of '$(BROWSERS)' is on the PATH." >&2; \
	  echo "Install one (on Debian: sudo apt-get install chromium) and run this again." >&2; \
	  exit 1; \
	fi; \
	echo "No browser found, installing Debian's chromium for the page tests"; \
	export DEBIAN_FRONTEND=noninteractive; \
	$$asroot apt-get update -qq && $$asroot $$install chromium fonts-liberation >/dev/null && \
	{ $$asroot $$install chromium-headless-shell >/dev/null 2>&1 || true; }

lock: $(VENV)/bin/python ## renew requirements-dev.txt from pyproject.toml
	$(PYTHON) -m venv build/lock-venv
	build/lock-venv/bin/python -m pip install --quiet pip-tools
	CUSTOM_COMPILE_COMMAND="make lock" build/lock-venv/bin/pip-compile --quiet --upgrade \
	  --extra dev --all-build-deps --strip-extras --no-emit-index-url --no-emit-trusted-host \
	  --no-emit-find-links --no-emit-options --output-file $(LOCK) pyproject.toml

clean: ## remove everything that make has made
	rm -rf $(VENV) build dist site .mypy_cache .pytest_cache .ruff_cache .hypothesis
	find recordgen tests benchmarks -name __pycache__ -type d -prune -exec rm -rf {} + 2>/dev/null || true

$(VENV)/bin/python:
	@$(PYTHON) -c 'import sys; sys.exit(sys.version_info < (3, 11))' 2>/dev/null || { \
	  echo "recordgen needs Python 3.11 or newer; '$(PYTHON)' is $$($(PYTHON) --version 2>&1)." >&2; \
	  echo "Name another one: make PYTHON=python3.12 ..." >&2; \
	  exit 1; }
	@$(PYTHON) -m venv $(VENV) || { \
	  rm -rf $(VENV); \
	  echo "Could not make $(VENV) (on Debian: apt-get install python3-venv)." >&2; \
	  exit 1; }

# The build backend comes from the lock too, so that an install never depends on the day.
$(VENV)/.site-stamp: $(VENV)/bin/python pyproject.toml $(LOCK)
	@echo "Installing recordgen into $(VENV)"
	@$(PIP) --constraint $(LOCK) hatchling editables
	@$(PIP) --constraint $(LOCK) --no-build-isolation --editable .
	@touch $@

$(VENV)/.dev-stamp: $(VENV)/.site-stamp
	@echo "Installing what the tests need into $(VENV)"
	@$(PIP) --requirement $(LOCK)
	@touch $@
