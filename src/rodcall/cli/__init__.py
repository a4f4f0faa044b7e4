"""The job from a shell: the same book, the same figures, without a screen."""
