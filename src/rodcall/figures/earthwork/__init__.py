"""How much dirt, which way it goes, and what to key into the machine."""
