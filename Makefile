# Two commands matter: `make demo` and `make test`. Both set up what they need.
PY ?= python3
VENV := .venv
RUN := $(VENV)/bin/python -m rakelight
JOBS := 2

.PHONY: demo test lint bench soak lock clean

$(VENV)/run.stamp: requirements/run.lock pyproject.toml
	$(PY) -m venv $(VENV)
	$(VENV)/bin/pip install -q --disable-pip-version-check --require-hashes -r requirements/run.lock
	@echo "$(CURDIR)/src" > "$$($(VENV)/bin/python -c 'import sysconfig; print(sysconfig.get_paths()["purelib"])')/rakelight.pth"
	@printf '#!/bin/sh\nexec "%s/bin/python" -m rakelight "$$@"\n' "$(CURDIR)/$(VENV)" > $(VENV)/bin/rakelight
	@chmod +x $(VENV)/bin/rakelight
	@$(VENV)/bin/python -m compileall -q src/rakelight
	@touch $@

$(VENV)/dev.stamp: requirements/dev.lock $(VENV)/run.stamp
	$(VENV)/bin/pip install -q --disable-pip-version-check --require-hashes -r requirements/dev.lock
	@touch $@

# A browser for the tests of the pages: what is here, else the system's chromium (without a screen: half the work) where
# we may install it, else the one Playwright brings. Tried once, never long; without one those tests are skipped, and say so.
$(VENV)/browser.stamp: $(VENV)/dev.stamp
	@command -v chromium-headless-shell >/dev/null || command -v chromium >/dev/null || command -v chromium-browser >/dev/null || { \
	  [ "$$(id -u)" = 0 ] && command -v apt-get >/dev/null && echo "Installing chromium for the tests of the pages." && \
	  timeout 60 apt-get update -qq >/dev/null 2>&1; \
	  [ "$$(id -u)" = 0 ] && timeout 240 env DEBIAN_FRONTEND=noninteractive apt-get install -y -qq --no-install-recommends \
	    chromium-headless-shell fonts-dejavu-core >/dev/null 2>&1; } || \
	  timeout 120 $(VENV)/bin/python -m playwright install chromium >/dev/null 2>&1 || \
	  echo "No browser can be had here: tests of the pages that want one are skipped."
	@touch $@

demo: $(VENV)/run.stamp
	PY=$(VENV)/bin/python sh examples/demo.sh

test: $(VENV)/dev.stamp $(VENV)/browser.stamp
	$(VENV)/bin/ruff check src tests bench
	@$(VENV)/bin/mypy > $(VENV)/types.txt 2>&1 & types=$$!; \
	PYTHONDONTWRITEBYTECODE= $(VENV)/bin/python -m pytest -n $(JOBS) --dist worksteal tests src/rakelight; tests=$$?; \
	wait $$types; types=$$?; cat $(VENV)/types.txt; exit $$((tests | types))

lint: $(VENV)/dev.stamp
	$(VENV)/bin/ruff check --fix src tests bench
	$(VENV)/bin/ruff format --check src tests bench || true
	$(VENV)/bin/mypy

bench: $(VENV)/dev.stamp
	$(VENV)/bin/python -m bench

soak: $(VENV)/dev.stamp
	RAKELIGHT_SOAK=1 $(VENV)/bin/python -m pytest -n $(JOBS) tests -k "fuzz or soak" -s

lock:
	$(PY) -m venv .venv-lock && .venv-lock/bin/pip install -q pip-tools
	for x in run dev; do \
	  extra=""; [ $$x = dev ] && extra="--extra dev -c requirements/run.lock"; \
	  CUSTOM_COMPILE_COMMAND="make lock" .venv-lock/bin/pip-compile -q --no-emit-index-url --no-emit-trusted-host \
	    --no-emit-find-links --generate-hashes --allow-unsafe --strip-extras $$extra -o requirements/$$x.lock pyproject.toml; done
	rm -rf .venv-lock

clean:
	rm -rf $(VENV) demo .pytest_cache .mypy_cache .ruff_cache
