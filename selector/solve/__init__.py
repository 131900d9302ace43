"""Evaluate a board, find a setting, decode one."""
