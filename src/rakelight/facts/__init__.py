"""Tables of facts with their sources."""
