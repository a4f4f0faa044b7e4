"""A real terminal for tests: a pseudo-terminal with a screen (`pty_terminal`), and tmux (`tmux_terminal`)."""
