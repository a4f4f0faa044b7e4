"""Why an entry cannot be written after those before it."""


class PageError(ValueError):
    """An entry that contradicts those before it; the text is one line, and nothing was changed."""
