"""An exam of invented pages and single typing slips."""
