# Sourced by tests/run and tests/benchmark: installs the pinned reference libraries into a virtual environment.
# `$outside` is the folder for the environment and the work files of the outside checks.
# shellcheck shell=bash

# Debian packages the part of Python that makes environments separately.
new_environment() {
    rm -rf "$outside/venv"
    python3 -m venv "$outside/venv" && return
    rm -rf "$outside/venv"
    apt-get update && apt-get install -y --no-install-recommends python3-venv && python3 -m venv "$outside/venv"
}

# Installs the libraries, unless the installed list is the pinned one.
reference_libraries() {
    local wanted
    wanted=$(sha256sum tests/outside/requirements.txt | cut -d ' ' -f 1)
    if [ "$(cat "$outside/installed" 2>/dev/null)" = "$wanted" ]; then return 0; fi
    mkdir -p "$outside"
    new_environment || return 1
    "$outside/venv/bin/pip" install --quiet --disable-pip-version-check -r tests/outside/requirements.txt || return 1
    echo "$wanted" >"$outside/installed"
}

# Installs Debian's browser for the reports of runs, where that can be done.
browser() {
    command -v chromium || { apt-get update && apt-get install -y --no-install-recommends chromium; }
}
