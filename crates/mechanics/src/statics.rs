//! Statics of the hub.
