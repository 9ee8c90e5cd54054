#!/usr/bin/env bash
# Tests the Python module: builds the wheel, installs it into an environment of its own in `target/python`, and runs pytest and the
# check of the stubs there. Needs Python 3.10 or newer with `venv`, and the command at target/debug/velatura; builds it if it is missing.
# Arguments go to pytest.
set -euo pipefail
cd "$(dirname "$0")/../.."
place=target/python
python="$place/venv/bin/python"

if [ ! -x "$python" ]; then
    python3 -m venv "$place/venv"
fi
"$python" -m pip install --quiet --disable-pip-version-check "maturin>=1.9,<2" numpy pytest mypy pillow ray psutil

[ -x target/debug/velatura ] || cargo build --locked

rm -rf "$place/wheels"
# The profile of all tests: the release profile would take minutes longer.
"$place/venv/bin/maturin" build --profile dev --locked --quiet -m crates/python/Cargo.toml \
    --interpreter "$python" --out "$place/wheels"
"$python" -m pip install --quiet --disable-pip-version-check --force-reinstall --no-deps "$place"/wheels/*.whl

export MYPY_CACHE_DIR="$PWD/$place/mypy"
export VELATURA_COMMAND="$PWD/target/debug/velatura"
# From the installed wheel: the tests' folder has no module of this name.
"$python" -m pytest -q -p no:cacheprovider crates/python/tests "$@"
"$python" -m mypy.stubtest velatura
