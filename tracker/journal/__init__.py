"""The bytes on disk: the append-only book and its disposable read model."""
