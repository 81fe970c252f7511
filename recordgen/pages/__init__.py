"""The pages: one module and one template a page kind, one table of them."""
