//! The same answers for other programs.
