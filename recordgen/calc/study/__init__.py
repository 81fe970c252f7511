"""The calculations, asked of the records: which inputs there are, and what follows from them."""
