"""The kinds of entry in a book, by what they are about; `book/model/entries.py` has all of them."""
