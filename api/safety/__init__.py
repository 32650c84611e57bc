"""Who may do what, and what may not happen: passwords, throttling, identity, headers, the log."""
