"""Checks that need something a person must supply are collected only where it is supplied."""

import os

collect_ignore = [] if os.environ.get("PROJECT_SCHEDULING") else ["test_benchmark_sets.py"]
"""PROJECT_SCHEDULING names a folder: see test_benchmark_sets."""
