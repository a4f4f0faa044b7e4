"""How the ground lies: averages, slopes, heights between the shots, and where water runs."""
