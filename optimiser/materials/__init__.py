"""Fats, acids, alkalis and additives: facts as objects and their chemistry."""
