"""Bytes of one file format each."""
