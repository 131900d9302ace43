"""From a located file to the checked model."""
