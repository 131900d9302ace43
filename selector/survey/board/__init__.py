"""From a judgement to the verdict on a record."""
