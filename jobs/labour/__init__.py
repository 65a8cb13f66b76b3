"""Hands-on minutes of a stage. Plain Python."""
