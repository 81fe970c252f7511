"""From finished pages to a site: the only place that knows MkDocs."""
