"""Every step, oldest first."""
