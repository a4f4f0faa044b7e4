"""The shot grid: the plan, the numbers, and the entry line, where a crew spends its day."""
