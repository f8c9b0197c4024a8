"""It was otherwise: what was written wrong is put right in one go, looked at before, and can be taken back."""
