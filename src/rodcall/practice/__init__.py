"""Practice: a made-up pad, a helper who calls with mistakes, and the score."""
