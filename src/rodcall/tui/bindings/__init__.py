"""Which key does what: one table of actions, and a crew's own keys."""
