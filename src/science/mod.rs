//! Published methods, one a file, each with its citation first. They know nothing of rooms, entries or people.

pub mod laundry;
