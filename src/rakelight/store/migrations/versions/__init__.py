"""One file a schema, numbered; one that has landed is never changed."""
