//! Least squares with uncertainty.
