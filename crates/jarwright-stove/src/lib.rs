//! Readings in.
