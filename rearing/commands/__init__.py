"""The same verbs and questions without a window."""
