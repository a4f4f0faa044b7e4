"""The published checks of `rodcall manual checks`: our figure for each, by the code that the screens use."""
