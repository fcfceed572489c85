"""What people write: YAML and figures into values that know their place, and what is wrong with them into words."""
