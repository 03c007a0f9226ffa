"""Bills before and after, loans and cash flows. Floats here; money becomes Decimal at the edge of the projects room."""

from sizing.money.study import study_money

__all__ = ["study_money"]
