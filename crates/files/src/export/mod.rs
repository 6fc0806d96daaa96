//! What leaves for a table of one's own: readings as CSV, and quantities as the numbers they were entered as.

mod entered;
mod readings;

pub use entered::{Entered, degrees, force, grams, millimetres, number, pressure};
pub use readings::{ReadingRow, heading, row};
