"""Plus/minus of each height, and what it is made of."""
