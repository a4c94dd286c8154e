"""Species sheets, read from TOML into frozen dataclasses."""
