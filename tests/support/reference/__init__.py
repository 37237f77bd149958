"""The pages of docs/reference and docs/glossary.md, made of what the code declares; see `pages`."""
