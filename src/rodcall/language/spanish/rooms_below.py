"""What lengths, quantities, book, figures, sheets and the shell say."""

SENTENCES: dict[str, str] = {}
