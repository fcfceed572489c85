"""The shelf's file, in YAML or as a spreadsheet."""
