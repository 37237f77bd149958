"""Records as tables: CSV, XLSX, Parquet and JSON files, read as text and written whole."""
