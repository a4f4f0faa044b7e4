"""What the words of the trade, the screens and the settings say."""

SENTENCES: dict[str, str] = {}
