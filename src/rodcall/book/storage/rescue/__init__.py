"""What is read of a job after trouble: sound lines of damaged bytes, journals of others, all that is left of it."""
