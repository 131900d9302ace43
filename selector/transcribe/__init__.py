"""Transcription: draft, import, read-back, compare, review of slips."""
