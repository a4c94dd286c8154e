"""The parts of the lamp's page: large, few, and readable in the dark."""
