"""The shell commands: the same book and figures, without a screen."""
