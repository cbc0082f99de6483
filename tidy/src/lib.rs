//! Repository rules.
