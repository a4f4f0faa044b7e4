"""The plan: all positions as they lie, the ground behind them, and the whole pad in shades."""

from rodcall.tui.shot_grid.plan.widget import Plan

__all__ = ["Plan"]
