"""How figures are said: one wording for screen, sheet, and shell."""
