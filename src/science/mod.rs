//! Published methods, one a file, each with its citation first. They know nothing of rooms, entries or people.
//!
//! A number that a method was not made for is refused as [`OutOfRange`]; nothing here guesses beyond what was shown.

pub mod air;
pub mod detection;
pub mod drying;
pub mod eggs;
pub mod evaporation;
pub mod heat;
pub mod laundry;
pub mod learning;
pub mod mixing;
pub mod published;
mod range;
pub mod trace;

pub use range::{OutOfRange, within};
