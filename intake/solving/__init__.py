"""Numbers that a library works out better than we could: linear programs, by HiGHS."""

from intake.solving.highs import HighsSolver

__all__ = ["HighsSolver"]
