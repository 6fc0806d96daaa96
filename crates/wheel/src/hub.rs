//! (appears with its content)
