"""Charts as SVG: one file each, without scripts, that reads in grey and aloud."""
