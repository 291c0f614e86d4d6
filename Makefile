# What to type is in `make help`. Each target may be run again at any time.
# Another interpreter for a new environment: make PYTHON=python3.12 test

PYTHON ?= python3
BIN := .venv/bin
DEMO := build/demo
# The invented applicants' files are written for this day.
TODAY := 2026-11-25
LOCK := UV_CUSTOM_COMPILE_COMMAND="make lock" $(BIN)/uv pip compile --quiet --universal \
	--python-version 3.11 --generate-hashes --no-emit-index-url --no-emit-find-links \
	--no-annotate --extra desk --extra postgres pyproject.toml

.PHONY: help demo demo-files browser test check format bench soak lock install install-dev
.DEFAULT_GOAL := help

help:  ## Say what can be made
	@awk -F ':.*## ' '/^[a-z-]+:.*## / { printf "make %-11s %s\n", $$1, $$2 }' Makefile

demo: install  ## Install, then open the desk with invented people in this browser's reach
	@mkdir -p build
	@test -d $(DEMO) || $(BIN)/comity demo $(DEMO)
	@COMITY_HOME=build/demo-office $(BIN)/comity serve --demo

demo-files: install  ## Install, then assess the invented applicants and write their briefs
	@rm -rf $(DEMO) && mkdir -p build
	$(BIN)/comity demo $(DEMO)
	@mkdir -p $(DEMO)/briefs
	$(BIN)/comity assess $(DEMO)/applicants/*.yaml --rulebook $(DEMO)/rulebooks \
		--today $(TODAY) > $(DEMO)/comparison.txt
	$(BIN)/comity assess $(DEMO)/applicants/*.yaml --rulebook $(DEMO)/rulebooks \
		--today $(TODAY) --json > $(DEMO)/comparison.json
	@set -e; for file in $(DEMO)/applicants/*.yaml; do \
		name=$$(basename "$$file" .yaml); \
		echo "brief for $$name"; \
		$(BIN)/comity brief "$$file" --rulebook $(DEMO)/rulebooks --today $(TODAY) \
			-o "$(DEMO)/briefs/$$name.pdf"; \
	done
	@cat $(DEMO)/comparison.txt
	@echo
	@echo "The same, to keep:    $(DEMO)/comparison.txt and $(DEMO)/comparison.json"
	@echo "Applicants' briefs:   $(DEMO)/briefs/*.pdf"
	@echo "Files to play with:   $(DEMO)/applicants/ and $(DEMO)/rulebooks/"
	@echo "Try: $(BIN)/comity --help"

test: check browser  ## Everything: the checks below, then all other tests with their coverage
	@$(BIN)/coverage erase
	$(BIN)/coverage run -m pytest -n auto --dist worksteal --ignore=tests/test_docs.py
	@$(BIN)/coverage combine --quiet
	$(BIN)/coverage report
	$(BIN)/coverage report --include='src/comity/core/*' --fail-under=97

check: install-dev  ## Format, lint, types, layers, documentation
	$(BIN)/ruff format --check .
	$(BIN)/ruff check .
	$(BIN)/mypy
	$(BIN)/lint-imports
	$(BIN)/python -m pytest -q tests/test_docs.py

format: install-dev  ## Lay out the code and mend what the linter can
	$(BIN)/ruff format .
	$(BIN)/ruff check --fix .

bench: install-dev  ## Time the engine against its baselines, into build/bench.json
	@mkdir -p build
	$(BIN)/python -m tests.bench

soak: install-dev  ## The long versions of the tests over generated and broken input
	COMITY_SOAK=1 $(BIN)/python -m pytest -m "(soak or property) and not bench"

lock: install-dev  ## Renew both lock files from pyproject.toml
	$(LOCK) --upgrade --group build -o requirements.lock
	$(LOCK) --upgrade --group dev -c requirements.lock -o requirements-dev.lock

browser:
	@test -n "$$COMITY_CHROMIUM" || command -v chromium >/dev/null \
		|| { test "$$(id -u)" = 0 && command -v apt-get >/dev/null && apt-get update -qq \
			&& DEBIAN_FRONTEND=noninteractive apt-get install -y -qq chromium >/dev/null; } \
		|| { echo "Chromium is missing, and could not be installed here. The tests in a real"; \
			echo "browser need it: sudo apt-get install chromium, or name one in COMITY_CHROMIUM."; \
			exit 1; }

install:
	@$(PYTHON) tools/make_venv.py requirements.lock

install-dev:
	@$(PYTHON) tools/make_venv.py requirements-dev.lock
