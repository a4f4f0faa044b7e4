"""The manual inside the package."""
