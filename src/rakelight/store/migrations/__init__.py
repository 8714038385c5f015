"""Numbered migrations of the shop's file."""
