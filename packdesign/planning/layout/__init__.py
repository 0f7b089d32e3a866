"""How the cells of a brief go into its cavity, and what would let in more."""
