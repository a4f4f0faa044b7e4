"""What leaves the tablet: figures for scripts, and sheets for people."""
