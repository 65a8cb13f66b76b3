"""The promise: a plan's order played through many futures at once. Plain Python and numpy."""
