"""An answer in words for people and as data for programs; every function takes a finished story and returns text."""
