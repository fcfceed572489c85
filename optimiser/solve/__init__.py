"""The solver's side: optimum, ties, proof, feasibility."""
