//! Visits in their files: what is read, what is refused and how it is said, and the way back to text.

mod files_held;
mod guide;
mod reads;
mod refuses;
mod round_trip;
