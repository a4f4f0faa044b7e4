"""Figures in words: one wording for screen, sheet and shell."""
