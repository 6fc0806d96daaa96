//! (appears with its first content)
