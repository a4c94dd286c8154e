"""Figures on the desk: the canvas that hosts a chart, and its look from the theme."""
