"""Long proofs, run by `make prove`; their last figures stand in docs/proof.md."""
