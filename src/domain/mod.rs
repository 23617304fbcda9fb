//! The hospital's rules: what may be noted, what follows from what was noted, and when a bed is open.
//!
//! Pure: no file, no clock, no environment, no terminal. `now` is an argument everywhere.
//! Read in this order: the words (`code`, `facility`, `people`, `policy`), what happened (`entry`),
//! the rules by name (`rule`), what it adds up to (`board`), and what may be noted next (`decide`, `moves`).

pub mod airing;
pub mod board;
pub mod clock;
pub mod code;
pub mod decide;
mod decimals;
pub mod describe;
mod doubts;
pub mod dried;
pub mod dry_time;
pub mod entry;
pub mod facility;
pub mod floor;
pub mod foresee;
pub mod hindrance;
pub mod laundry;
pub mod likely;
pub mod measured;
pub mod moves;
pub mod need;
pub mod odd;
pub mod once_more;
pub mod people;
pub mod policy;
pub mod record;
pub mod remarks;
pub mod rule;
pub mod sheet;
pub mod shift;
pub mod shown;
pub mod strokes;
pub mod surface;
pub mod surfaces;
pub mod tag;
pub mod timeline;
