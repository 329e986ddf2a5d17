//! length (being written)
