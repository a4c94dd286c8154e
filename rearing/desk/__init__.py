"""The window: pages, widgets, keys, themes. Only this package knows Qt."""
