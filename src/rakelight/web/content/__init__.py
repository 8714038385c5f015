"""What stands on each page, as plain data: no page is asked for here and nothing is written."""
