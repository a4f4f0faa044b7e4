"""What the words of the trade, the screens and the settings say."""

SENTENCES = {
    "HIGH": "ALTO",
    "LOW": "BAJO",
    "ON GRADE": "A NIVEL",
}
