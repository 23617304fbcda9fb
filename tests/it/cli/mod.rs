//! The program by its command line alone: what it prints, what it writes, and how it ends.

mod bad_input;
mod counts;
mod damage;
mod job;
mod lines;
mod marks;
mod pages;
mod patients;
pub(crate) mod program;
mod records;
pub(crate) mod shape;
mod sheets;
mod sums;
mod traced;
