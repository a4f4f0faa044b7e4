"""Every screen as a crew meets it, at each size, in each theme and language, to be looked at: python -m tests.looks"""
