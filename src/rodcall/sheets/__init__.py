"""Sheets for people, and exports for scripts."""
