"""Binders, pigments, drying, films and layering. Plain Python; every value has a source."""
