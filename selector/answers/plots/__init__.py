"""The plots that go with an answer."""
