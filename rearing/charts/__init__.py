"""Drawing of results with matplotlib, without Qt."""
