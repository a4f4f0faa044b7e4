"""What was written down: entries in order, the page they fold into, and the file that keeps them."""
