"""The builder's need as a TOML file: schema, loading, examples."""
