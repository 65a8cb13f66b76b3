"""Shapes, lay-out and drawing to scale. Plain Python, lengths in tenths of a millimetre."""
