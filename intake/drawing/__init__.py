"""Millimetres → pixels: labels, symbols and sheets, painted with Pillow."""
