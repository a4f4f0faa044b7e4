"""The book on the disk: nothing replaced that is not safe, nothing lost that was saved."""
