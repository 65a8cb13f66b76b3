"""Apps import only to their left, and engines know nothing of the framework."""

import subprocess
import sys
from pathlib import Path

HOUSE = Path(__file__).resolve().parents[2]
LINT = (
    "from importlinter.cli import lint_imports; "
    "raise SystemExit(lint_imports(config_filename='pyproject.toml', no_cache=True, no_logo=True))"
)


def test_the_import_contracts_hold():
    # In a process of its own, for it turns off every logger of the one it runs in.
    ran = subprocess.run([sys.executable, "-c", LINT], cwd=HOUSE, capture_output=True, text=True)
    assert ran.returncode == 0, ran.stdout + ran.stderr
